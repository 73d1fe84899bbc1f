import re
from base64 import b64encode
from hashlib import sha256
from pathlib import Path

import pytest
from jinja2 import UndefinedError

from crustbreak.reports.documents import (
    evidence_style,
    paper_policy,
    paper_style,
    position_in,
    render,
    say_day,
    say_gap,
    say_hundredths,
    say_in_100,
    say_list,
    say_moment,
    say_tenth,
    width_in,
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "note.html").write_text("<style>{{ style }}</style><p>{{ name }}</p>")
    return tmp_path


def test_escapes_what_is_filled_in(folder: Path) -> None:
    note = render("note.html", {"name": "<script>alert('1')</script> & \"x\""}, folder=folder)

    assert "<p>&lt;script&gt;alert(&#39;1&#39;)&lt;/script&gt; &amp; &#34;x&#34;</p>" in note


def test_gives_every_document_the_style_in_itself(folder: Path) -> None:
    note = render("note.html", {"name": "x"}, folder=folder)

    assert evidence_style() in paper_style()
    assert f"<style>{paper_style()}</style>" in note


def test_a_missing_value_is_an_error_and_no_gap(folder: Path) -> None:
    with pytest.raises(UndefinedError):
        render("note.html", {}, folder=folder)


def test_allows_its_own_style_and_nothing_else(folder: Path) -> None:
    note = render("note.html", {"name": "x"}, folder=folder)
    style = re.search(r"<style>(.*?)</style>", note, re.DOTALL)
    assert style is not None

    policy = paper_policy()

    # A browser hashes what stands between the tags: Content Security Policy Level 3, hashes.
    digest = b64encode(sha256(style[1].encode()).digest()).decode()
    assert f"style-src 'sha256-{digest}'" in policy
    assert "default-src 'none'" in policy


@pytest.mark.parametrize(
    ("gap", "said"),
    [
        (1.5, "1.50 over"),
        (-0.25, "0.25 under"),
        (0.01, "0.01 over"),
        (0.0, "on it"),
        # Nothing is "0.00 over": to two places this is on it.
        (0.004, "on it"),
        (-0.004, "on it"),
    ],
)
def test_says_a_distance_from_the_cut_off(gap: float, said: str) -> None:
    assert say_gap(gap) == said


def test_says_days_and_moments_in_utc() -> None:
    assert say_day("2031-03-04T23:59:59.999Z") == "4 March 2031"
    assert say_moment("2031-03-04T09:05:00.000Z") == "4 March 2031, 09:05 UTC"


@pytest.mark.parametrize(
    ("words", "said"),
    [([], ""), (["One"], "One"), (["One", "Two"], "One and Two"), (list("abc"), "a, b and c")],
)
def test_says_several_things_in_a_row(words: list[str], said: str) -> None:
    assert say_list(words) == said


@pytest.mark.parametrize(
    ("value", "place"), [(80.0, "0.00"), (82.5, "50.00"), (85.0, "100.00"), (81.0, "20.00")]
)
def test_places_a_value_between_two_ends(value: float, place: str) -> None:
    assert position_in(value, (80.0, 85.0)) == place


def test_says_how_wide_it_is_between_two_values() -> None:
    assert width_in(84.0, 82.0, (80.0, 90.0)) == "20.00"


@pytest.mark.parametrize(
    ("chance", "short", "long"),
    [
        (0.0, "<1", "under 1 in 100"),
        (0.0099, "<1", "under 1 in 100"),
        (0.01, "1", "1 in 100"),
        (0.835, "84", "84 in 100"),
        (0.99, "99", "99 in 100"),
        (1.0, ">99", "over 99 in 100"),
    ],
)
def test_says_a_chance_and_never_that_it_is_certain(chance: float, short: str, long: str) -> None:
    assert (say_hundredths(chance), say_in_100(chance)) == (short, long)


def test_says_an_estimate_to_a_tenth() -> None:
    assert [say_tenth(value) for value in (84.96, 84.0)] == ["85.0", "84.0"]
