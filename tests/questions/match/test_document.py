"""The evidence of the approved coffee as a page, and the note as a paper."""

from typing import Any

import pytest

from crustbreak.questions.match.document import approval_note, match_blocks
from crustbreak.reports.blocks import Chart, Disclosure, Grid, Text
from crustbreak.reports.render.html import as_html
from crustbreak.reports.render.pdf import as_pdf
from crustbreak.reports.render.terminal import as_text, blocks_as_lines
from match_papers import BOWLS, COMPARED, bowl, evidence_data, match_record


def page(evidence: dict[str, Any]) -> str:
    return "\n".join(blocks_as_lines(match_blocks(evidence), 400))


def test_begins_with_the_sentence_and_shows_every_bowl() -> None:
    lead, chart, *rest = match_blocks(evidence_data())

    assert isinstance(lead, Text)
    assert lead.kind == "lead"
    assert isinstance(chart, Chart)
    assert len(chart.said) == 3
    table_state = rest[-1]
    assert isinstance(table_state, Disclosure)
    grid = table_state.blocks[0]
    assert isinstance(grid, Grid)
    assert len(grid.rows) == len(BOWLS)


def test_a_note_stands_in_the_taster_s_own_words() -> None:
    assert "B, Odile: flat, papery" in page(evidence_data())


def test_says_what_was_called_before_the_names() -> None:
    assert "Called before the names: Odile: different, worse." in page(evidence_data())
    assert "Called" not in page(evidence_data(calls=[]))


def test_warnings_and_bowls_that_differed_are_not_to_be_missed() -> None:
    flag = {"code": "B", "cup": 1, "kind": "spilt", "off": 0}

    said = page(evidence_data(warnings=["One mark is missing."], bowl_flags=[flag]))

    assert "! One mark is missing." in said
    assert "Bowl 1 of B was spilt." in said


def test_a_table_of_nothing_says_so_and_draws_no_difference() -> None:
    nothing = evidence_data(
        bowls=[bowl("A", None, is_candidate=False), bowl("B", None)],
        difference=None,
        sure=None,
        own_error=None,
        suggestion="cannot tell yet",
        calls=[],
        tasters=[],
    )

    said = page(nothing)

    assert "These bowls cannot tell. Not one bowl of each" in said
    assert "None" not in said
    assert "not marked" in said


def test_several_sittings_are_told_apart() -> None:
    later = [{**each, "sitting": 2} for each in BOWLS]

    said = page(evidence_data(bowls=[*BOWLS, *later], look=2, level=0.025))

    assert "A, sitting 2, Oskelan, approved" in said
    assert "once in 40 on this second look" in said


def test_the_note_is_the_decision_in_one_sentence_with_who_signs() -> None:
    note = approval_note(match_record())

    assert note.finding == f"{COMPARED} is different from Oskelan, approved, and worse."
    assert note.signs[0] == "Odile, decides"
    assert note.kind == "Approval note"


def test_another_word_than_the_rule_s_is_printed_beside_it() -> None:
    assert "By the rule" not in as_text(approval_note(match_record()))

    said = as_text(approval_note(match_record("cannot tell yet")), columns=400)

    assert "CANNOT BE TOLD YET" in said
    assert "By the rule: Oskelan, arrival is different from Oskelan, approved, and worse." in said


@pytest.mark.parametrize(
    "said",
    [
        "Largest difference that still counts as the same, d: 1.50, fixed on 4 March 2031",
        "6 bowls under codes of their own and 1 open, 8.25 g to 150 ml",
        "The lab did not know before what stood where.",
        "An old score takes no part in this comparison.",
        "Reason: Papery and flat in all three bowls.",
    ],
)
def test_the_note_can_be_read_in_a_year(said: str) -> None:
    assert said in as_text(approval_note(match_record()), columns=400)


def test_the_note_is_a_page_and_a_pdf() -> None:
    note = approval_note(match_record())

    assert COMPARED in as_html(note)
    assert as_pdf(note).startswith(b"%PDF")
