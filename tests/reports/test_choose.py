"""The papers of `choose`: what they say, and what they make of hostile names."""

from collections.abc import Mapping
from html.parser import HTMLParser
from typing import Any

import pytest
from markupsafe import escape

from crustbreak.analysis.evidence.choose import weigh_choice
from crustbreak.analysis.frames import frame_table
from crustbreak.domain.table.fold import fold
from crustbreak.exchange.canonical import plain
from crustbreak.reports.choose import (
    choice_memo,
    draw_ribbon,
    say_answer,
    say_drop,
    say_finding,
    say_next,
    show_choice,
)
from gradings import real_coffees
from looks import frame
from tables import coffees, entries_of, event, full_marks, straight_key, ten_line
from tables import table as planned

SPREAD = {"count": 2, "mean": 85.0, "deviation": 1.4142, "least": 84.0, "most": 86.0}
ALONE = {"count": 1, "mean": 85.0, "deviation": None, "least": 85.0, "most": 85.0}


def taster(name: str, total: float | None, **changed: Any) -> dict[str, Any]:
    return {
        "taster": name,
        "total": total,
        "missing": [],
        "flagged": [],
        "notes": [],
        "call": "buy",
        **changed,
    }


def coffee(**changed: Any) -> dict[str, Any]:
    return {
        "coffee": "Marrow Hill",
        "code": "204",
        "total": SPREAD,
        "title": "excellent",
        "over": 1.0,
        "bowls": 5,
        "bad_bowls": 0,
        "judged": 2,
        "tasters": [taster("Odile", 84.0), taster("Anouk", 86.0)],
        "lines": [
            {
                "title": "Flavor",
                "points": [7.5, 8.5],
                "spread": {**SPREAD, "mean": 8.0},
                "penalty": False,
            }
        ],
        **changed,
    }


def evidence(*coffees: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "cut_off": 84.0,
        "how_sure": "not computed yet",
        "tasters": ["Odile", "Anouk"],
        "coffees": list(coffees) or [coffee()],
    }


def record(**changed: Any) -> dict[str, Any]:
    table = {
        "id": "0",
        "occasion": "Morning offers",
        "planned_at": "2031-03-03T08:00:00.000Z",
        "tasters": ["Odile", "Anouk"],
        "setter": "Piet",
        "setter_tasted": False,
        "key_opened_at": ["2031-03-04T08:10:00.000Z"],
        "poured_at": "2031-03-04T09:30:00.000Z",
        "broken_at": "2031-03-04T09:34:00.000Z",
        "steeped_s": 240.0,
        "taps_undone": 0,
        "uncovered_at": "2031-03-04T10:10:00.000Z",
        "cut_off": 84.0,
        "cut_off_title": "Cut-off, points",
        "cups": [5],
        "recipe": {"dose_g": 8.25, "water_ml": 150, "steep_s": 240},
        **changed.pop("table", {}),
    }
    return {
        "engine": "0.1.0",
        "lab": "Test lab",
        "question": {"id": "choose", "asks": "Which?", "document": "Decision memo"},
        "sheet": {"ref": "ten_line/1", "title": "Ten-line sheet", "source": "S1"},
        "table": table,
        "left_out": {"late": 0, "set_aside": 0},
        "evidence": evidence(),
        "verdict": {
            "words": [{"subject": "Marrow Hill", "word": "buy"}],
            "reason": "The best.",
            "by": "Piet",
            "at": "2031-03-04T11:00:00.000Z",
        },
        "digest": "0123456789abcdef" * 4,
        **changed,
    }


def test_the_memo_says_who_was_left_out_let_in_and_refused() -> None:
    at = "2031-03-04T09:30:00.000Z"
    left_out = {
        "late": 0,
        "set_aside": 0,
        "refused": 2,
        "seats": [{"taster": "Bram", "reason": "Went home."}],
    }
    more = {
        "left_out": left_out,
        "admitted": [{"taster": "Anouk", "reason": "No Wi-Fi.", "at": at}],
        "earlier_verdicts": [{"at": at, "by": "Piet", "digest": "0123456789abcdef"}],
    }

    memo = choice_memo({**record(), **more})

    assert "2 of a device that the host did not recognise" in memo
    assert "Left out: Bram. Reason: Went home." in memo
    assert "Let in on 4 March 2031, 09:30 UTC: marks of Anouk" in memo
    assert "Piet on 4 March 2031, 09:30 UTC, record 0123 4567" in memo


def test_the_same_record_gives_the_same_bytes() -> None:
    assert choice_memo(record()) == choice_memo(record())


@pytest.mark.parametrize(
    "said",
    [
        "<h1>Buy Marrow Hill.</h1>",
        "Which? Morning offers.",
        "Cut-off, points: 84.00, fixed on 3 March 2031, 08:00 UTC, before the first pour",
        "Reason: The best.",
        "Piet, decides",
        "<b>85.00</b>, excellent",
        "1.00 over the cut-off",
        "2 tasters, 84.00 to 86.00, deviation 1.41",
        "How sure: not computed yet",
        "Piet set the table by the key, opened once, on 4 March 2031, 08:10 UTC",
        "The tasters saw codes only until the uncovering on 4 March 2031, 10:10 UTC",
        "5 bowls a coffee, 8.25 g to 150 ml, 4 minutes planned from pour to break",
        "No control and no hidden duplicate stood on this table",
        "ten_line/1",
        "Crustbreak 0.1.0",
        "Record 0123 4567 89ab cdef",
    ],
)
def test_the_memo_says(said: str) -> None:
    assert said in choice_memo(record())


def test_the_memo_says_who_was_not_blind() -> None:
    memo = choice_memo(record(table={"setter_tasted": True}))

    assert "Piet also tasted and so was not blind" in memo
    assert "saw codes only" not in memo


def test_the_memo_says_what_was_left_out() -> None:
    memo = choice_memo(record(left_out={"late": 3, "set_aside": 1}))

    assert "3 marks that came late, 1 set aside" in memo


def test_the_memo_stands_without_a_tap_at_the_table() -> None:
    missing = {"poured_at": None, "broken_at": None, "uncovered_at": None, "key_opened_at": []}

    memo = choice_memo(record(table=missing))

    assert "No break was tapped." in memo
    assert "None" not in memo


def test_escapes_hostile_names() -> None:
    hostile = "<script>alert(1)</script>\u202e"
    given = record(evidence=evidence(coffee(coffee=hostile, tasters=[taster(hostile, 85.0)])))

    memo = choice_memo(given)

    assert "<script>" not in memo
    assert "&lt;script&gt;" in memo


def test_a_coffee_without_a_total_says_so_and_what_is_missing() -> None:
    lacking = taster("Odile", None, missing=["Flavor", "Body"], call=None)
    line = {"title": "Flavor", "points": [None], "spread": None, "penalty": False}
    given = coffee(total=None, title=None, over=None, tasters=[lacking], lines=[line])

    page = show_choice(evidence(given))

    assert "No total" in page
    assert "Flavor and Body missing." in page
    assert "<td>missing</td>" in page


def test_one_taster_has_no_spread() -> None:
    page = show_choice(evidence(coffee(total=ALONE, tasters=[taster("Odile", 85.0)])))

    assert "one taster, so no spread" in page
    assert "deviation 0" not in page


def test_every_coffee_is_drawn_on_one_line_with_the_cut_off() -> None:
    low = coffee(coffee="Fen Cross", tasters=[taster("Odile", 70.0)])
    page = show_choice(evidence(coffee(), low))

    # 70 to 86 with the cut-off at 84: whole points around them, one to spare, is 69 to 87.
    assert page.count("on a line from 69 to 87 points; the cut-off is at 84.00") == 2
    assert page.count("cut-off 84.00</text>") == 1


@pytest.mark.parametrize(
    ("judged", "bad", "said"),
    [
        (2, 0, "No bowl of 5 tainted or faulty."),
        (1, 0, "No bowl of 5 tainted or faulty. Taints and faults: judged by 1 of 2."),
        (0, 0, "Taints and faults: not judged by anyone."),
        (1, 2, "2 of 5 bowls tainted or faulty. Taints and faults: judged by 1 of 2."),
    ],
)
def test_says_of_bad_bowls_what_was_judged(judged: int, bad: int, said: str) -> None:
    page = show_choice(evidence(coffee(judged=judged, bad_bowls=bad)))

    assert said in page
    assert ("No bowl" in page) is (bad == 0 and judged > 0)


def test_one_complete_sheet_of_two_tasters_is_not_called_one_taster() -> None:
    both = [taster("Odile", 85.0), taster("Anouk", None, missing=["Body"])]

    page = show_choice(evidence(coffee(total=ALONE, tasters=both)))

    assert "one complete sheet, so no spread" in page
    assert "1 of 2 sheets complete" in page
    assert "one taster" not in page


def test_says_bad_bowls_flags_and_notes() -> None:
    said = taster("Odile", 85.0, flagged=["bowl 4 taint"], notes=["papery", "flat"])

    page = show_choice(evidence(coffee(bad_bowls=1, judged=1, tasters=[said])))

    assert "1 of 5 bowls tainted or faulty." in page
    assert "bowl 4 taint. papery; flat" in page


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["buy"], "Buy A."),
        (["decline", "decline"], "Decline A and B."),
        (["look again", "buy", "decline"], "Buy B. Taste A once more. Decline C."),
        (["buy", "buy", "buy"], "Buy A, B and C."),
    ],
)
def test_says_the_finding_in_sentences(words: list[str], sentence: str) -> None:
    said = [{"subject": subject, "word": word} for subject, word in zip("ABC", words, strict=False)]

    assert say_finding(said) == sentence


class Tags(HTMLParser):
    """What is markup in a page: each tag with the names of its attributes."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[tuple[str, ...]] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, *(name for name, _ in attrs)))


def record_with(name: str) -> dict[str, Any]:
    """Give a record in which everything that people type is this text."""
    said = taster(name, 85.0, flagged=["bowl 4 taint"], notes=[name])
    return record(
        lab=name,
        table={"occasion": name, "tasters": [name, name], "setter": name},
        evidence=evidence(coffee(coffee=name, tasters=[said])),
        verdict={
            "words": [{"subject": name, "word": "buy"}],
            "reason": name,
            "by": name,
            "at": "2031-03-04T11:00:00.000Z",
        },
    )


@pytest.mark.parametrize(
    "name",
    [
        "<script>alert(1)</script>",
        "</style></title></svg><b>",
        '"><img src=x onerror=alert(1)>',
        "' onload='alert(1)",
        "&lt;b&gt; &amp; <!-- --> ]]>",
        "{{ 7 * 7 }}{% raw %}",
        "\u05e7\u05e4\u05d4 \u0642\u0647\u0648\u0629",
        "W" * 80,
    ],
)
def test_whatever_people_type_is_text_and_never_markup(name: str) -> None:
    page = choice_memo(record_with(name))

    assert Tags(page).found == Tags(choice_memo(record_with("Marrow Hill"))).found
    assert str(escape(name)) in page


def test_memo_of_real_gradings_prints_their_printed_totals() -> None:
    """Source: [S2]; three coffees by one taster, from entries to paper."""
    names, chosen = ("Marrow Hill", "Fen Cross", "Tarn"), real_coffees()[::2]
    set_out = planned("Ines", cut_off=80.0)
    said = [
        each
        for nth, real in enumerate(chosen)
        for each in entries_of("s1", f"p{nth + 1}", full_marks(real.given), first=1 + 100 * nth)
    ]
    state = fold(set_out, said, [event(1, "table set")], subjects=("p1", "p2", "p3"))
    found = frame_table(set_out, state, ten_line(), key=straight_key(3), coffees=coffees(*names))

    memo = choice_memo(record(evidence=plain(weigh_choice(found))))

    assert [f"<b>{real.total:.2f}</b>" in memo for real in chosen] == [True] * 3
    assert memo.count("4.75 over the cut-off") == memo.count("on the cut-off</small>") == 1
    assert memo.count("How sure: not computed") == 4


def test_one_late_mark_is_one_mark() -> None:
    memo = choice_memo(record(left_out={"late": 1, "set_aside": 0}))

    assert "1 mark that came late" in memo


def weighed(*, cut_off: float = 84.0) -> dict[str, Any]:
    """Give evidence with its certainty, as it is kept."""
    totals = {
        "Tarn": {"Odile": 88.0, "Anouk": 89.0},
        "Fen Cross": {"Odile": 84.0, "Anouk": 84.5},
        "Marrow Hill": {"Odile": 78.0, "Anouk": 77.0},
    }
    return plain(weigh_choice(frame(totals, cut_off=cut_off)))


def suggesting(**words: str) -> dict[str, Any]:
    names = {name.replace("_", " ").title(): word.replace("_", " ") for name, word in words.items()}
    said = [{"coffee": name, "word": word} for name, word in names.items()]
    return {"suggestions": said}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ({"tarn": "buy"}, "Tarn lies over the cut-off."),
        ({"tarn": "buy", "fen": "buy"}, "Tarn and Fen lie over the cut-off."),
        (
            {"tarn": "decline", "fen": "look_again"},
            "Fen: this table cannot tell. Tarn lies under it.",
        ),
        ({}, "No sheet is complete: the table tells nothing."),
    ],
)
def test_says_what_the_table_answers(words: dict[str, str], said: str) -> None:
    assert say_answer(suggesting(**words)) == said


def test_says_what_to_do_next() -> None:
    best = {"say": "two more tasters", "coffees": ["Tarn"], "minutes": 92.0, "saved": 0.11}
    test = {"answer": "test", "regret": 0.19, "best": best, "menu": [best]}

    assert "The cheapest test for Tarn: two more tasters, about 92 minutes." in say_next(
        {"next_test": test}
    )
    assert "Nothing affordable will tell about Tarn" in say_next(
        {"next_test": {**test, "answer": "nothing affordable will tell"}}
    )
    assert say_next({"next_test": {"answer": "settled"}}).startswith("Nothing: ")


@pytest.mark.parametrize(
    ("drop", "found", "cost", "said"),
    [
        (0.32, 0, 0.3, ": 0.3 less for bad bowls that may yet come"),
        (0.9, 0, 0.01, ": 0.9 less because what comes out best was also lucky"),
        (0.01, 0, 0.0, ""),
        (0.9, 2, 1.0, ""),
    ],
)
def test_says_why_the_best_is_expected_to_drop(
    drop: float, found: int, cost: float, said: str
) -> None:
    assert say_drop({"drop": drop, "bad_bowls": {"found": found, "cost": cost}}) == said


def test_draws_a_ribbon_as_high_as_a_rank_is_likely() -> None:
    path = draw_ribbon([0.75, 0.25])

    assert path == "M0 20L50 5.8L150 15.2L200 20L150 24.8L50 34.2Z"


def test_every_number_of_the_picture_stands_with_how_sure_it_is() -> None:
    shown = weighed()
    page = show_choice(shown)

    for each in shown["sure"]["coffees"]:
        assert f'aria-label="{each["coffee"]}"' in page
        low, high = each["total"]["low"], each["total"]["high"]
        assert f"<span>{low:.1f} to {high:.1f}</span>" in page
    assert "relative only, since no control stood on the table" in page
    assert "Known from 6 looks today and what is assumed before the first table" in page
    assert page.count(" over ") >= 2
    assert "style=" not in page


def test_the_memo_carries_the_picture_and_the_odds() -> None:
    memo = choice_memo(record(evidence=weighed()))

    assert "nine in ten" in memo
    assert "In which order" in memo
    assert memo == choice_memo(record(evidence=weighed()))


def test_a_coffee_of_which_nothing_is_known_has_no_interval() -> None:
    totals = {"Tarn": {"Odile": 88.0}, "Fen Cross": {"Odile": None}}

    page = show_choice(plain(weigh_choice(frame(totals))))

    assert "No sheet of it is complete: nothing is known of it." in page
