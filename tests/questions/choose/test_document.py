"""The papers of `choose`: what they say, and what they make of hostile names."""

from html.parser import HTMLParser
from typing import Any

import pytest
from markupsafe import escape

from crustbreak.analysis.dataset import table_dataset
from crustbreak.domain.tables.state import table_state
from crustbreak.exchange.canonical_json import plain
from crustbreak.questions.choose.document import MOST_COLUMNS, choice_blocks, choice_memo
from crustbreak.questions.choose.evidence import choice_evidence
from crustbreak.reports.render.html import as_html
from crustbreak.reports.render.terminal import as_text
from datasets import dataset
from gradings import real_coffees
from papers import coffee, evidence, record, spoken, taster, weighed
from tables import coffees, entries_of, event, full_marks, straight_key, ten_line
from tables import table as planned


def read(given: dict[str, Any]) -> str:
    """Give what a memo says, its finding first."""
    memo = choice_memo(given)
    return f"{memo.finding}\n{as_text(memo, columns=10_000)}"


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

    memo = read({**record(), **more})

    assert "2 of a device that the host did not recognise" in memo
    assert "Left out: Bram. Reason: Went home." in memo
    assert "Let in on 4 March 2031, 09:30 UTC: marks of Anouk" in memo
    assert "Piet on 4 March 2031, 09:30 UTC, record 0123 4567" in memo


def test_the_same_record_gives_the_same_bytes() -> None:
    assert as_html(choice_memo(record())) == as_html(choice_memo(record()))


@pytest.mark.parametrize(
    "said",
    [
        "Buy Marrow Hill.",
        "Which? Morning offers.",
        "Cut-off, points: 84.00, fixed on 3 March 2031, 08:00 UTC, before the first pour",
        "Reason: The best.",
        "Piet, decides",
        "85.00, excellent",
        "1.00 over the cut-off",
        "2 sheets, 84.00 to 86.00, deviation 1.41",
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
    assert said in read(record())


def test_the_memo_says_who_was_not_blind() -> None:
    memo = read(record(table={"setter_tasted": True}))

    assert "Piet also tasted and so was not blind" in memo
    assert "saw codes only" not in memo


def test_the_memo_says_what_was_left_out() -> None:
    memo = read(record(left_out={"late": 3, "set_aside": 1}))

    assert "3 marks that came late, 1 set aside" in memo


def test_the_memo_stands_without_a_tap_at_the_table() -> None:
    missing = {"poured_at": None, "broken_at": None, "uncovered_at": None, "key_opened_at": []}

    memo = read(record(table=missing))

    assert "No break was tapped." in memo
    assert "None" not in memo


def test_escapes_hostile_names() -> None:
    hostile = "<script>alert(1)</script>\u202e"
    given = record(evidence=evidence(coffee(coffee=hostile, tasters=[taster(hostile, 85.0)])))

    memo = as_html(choice_memo(given))

    assert "<script>" not in memo
    assert "&lt;script&gt;" in memo


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
    page = as_html(choice_memo(record_with(name)))

    assert Tags(page).found == Tags(as_html(choice_memo(record_with("Marrow Hill")))).found
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
    state = table_state(set_out, said, [event(1, "table set")], subjects=("p1", "p2", "p3"))
    found = table_dataset(set_out, state, ten_line(), key=straight_key(3), coffees=coffees(*names))

    memo = read(record(evidence=plain(choice_evidence(found))))

    assert [f" {real.total:.2f}, " in memo for real in chosen] == [True] * 3
    assert memo.count("4.75 over the cut-off") == memo.count("  on the cut-off  ") == 1
    assert memo.count("How sure: not computed") == 4


def test_one_late_mark_is_one_mark() -> None:
    memo = read(record(left_out={"late": 1, "set_aside": 0}))

    assert "1 mark that came late" in memo


def test_the_memo_carries_the_picture_and_the_odds() -> None:
    memo = read(record(evidence=weighed()))

    assert "nine in ten" in memo
    assert "IN WHICH ORDER" in memo
    assert "Tarn over Fen Cross" in memo


def test_the_memo_puts_call_rule_and_verdict_beside_each_other() -> None:
    words = [
        {"subject": name, "word": word}
        for name, word in (("Tarn", "buy"), ("Fen Cross", "look again"), ("Marrow Hill", "decline"))
    ]
    given = record(evidence=weighed())

    memo = read({**given, "verdict": {**given["verdict"], "words": words}})

    rows = [" ".join(line.split()) for line in memo.splitlines()]
    assert "coffee Odile Anouk the rule verdict bad bowls" in rows
    assert any(row.startswith("Tarn none none buy buy ") for row in rows)


def test_many_tasters_are_counted_and_not_named() -> None:
    totals = {
        name: {f"T{nth}": 84.0 + nth / 4 for nth in range(MOST_COLUMNS + 1)}
        for name in ("Tarn", "Fen Cross")
    }

    memo = read(record(evidence=plain(choice_evidence(dataset(totals, cut_off=84.0)))))

    assert "none 6" in memo
    assert "called by code" in memo


def test_the_page_shows_the_lines_last() -> None:
    said = spoken(*choice_blocks(weighed()))

    assert said.index("WHAT TO DO NEXT") < said.index("Line by line, with notes")
