import pytest
from at_the_table import planned, uncovered, under_way

from crustbreak.core.errors import NotNow, Unacceptable
from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.reports.render.terminal import as_text
from crustbreak.services.results.decide import decide, evidence_of, memo_of
from crustbreak.services.tables.actions import abandon, look_at, table_set
from crustbreak.services.tables.cut_off import move_cut_off


def decided(lab: Lab, table: Table) -> None:
    words = dict.fromkeys(("Marrow Hill", "Fen Cross", "Sallow Bridge"), "decline")
    decide(lab, table, words, reason="None is good enough.", decided_by="Piet")


def asked(lab: Lab, table: Table) -> str:
    """Give what the memo says was asked."""
    lines = as_text(memo_of(lab, table), columns=10_000).splitlines()
    return lines[lines.index("Asked") + 2]


def test_what_is_moved_before_the_pour_is_what_was_fixed(lab: Lab) -> None:
    table = planned(lab)
    was = table.cut_off
    move_cut_off(lab, table, was - 2, "A slip of the finger.")
    state = look_at(lab, table.id)[1]

    assert (state.cut_off, len(state.moves)) == (was - 2, 1)
    assert (state.moves[0].before, state.moves[0].is_late) == (was, False)


def test_a_move_after_the_names_is_kept_and_printed(lab: Lab) -> None:
    table = uncovered(lab)
    was = evidence_of(lab, table)["cut_off"]

    move_cut_off(lab, table, was - 2.5, "The price fell.")
    evidence = evidence_of(lab, table)
    decided(lab, table)

    assert evidence["cut_off"] == was - 2.5
    said = asked(lab, table)
    assert f"{was:.2f}, fixed on" in said
    assert f"Moved to {was - 2.5:.2f} on" in said
    assert "after the names: The price fell." in said
    assert "not moved" not in said


def test_says_when_it_was_moved_after_the_pour_and_what_it_was_moved_from(lab: Lab) -> None:
    table = under_way(lab)
    move_cut_off(lab, table, 81.0, "Less is needed.")
    move_cut_off(lab, table, 82.0, "It is not.")

    moves = look_at(lab, table.id)[1].moves

    assert [(move.before, move.after) for move in moves] == [(table.cut_off, 81.0), (81.0, 82.0)]
    assert [(move.is_late, move.knew_names) for move in moves] == [(True, False)] * 2


def test_a_table_nobody_touched_says_that_it_was_not_moved(lab: Lab) -> None:
    table = uncovered(lab)
    decided(lab, table)

    assert "before the first pour; not moved." in asked(lab, table)


@pytest.mark.parametrize(
    ("figure", "reason", "where"),
    [
        (None, "So.", "Cut-off"),
        (101.0, "So.", "Cut-off"),
        (80.001, "So.", "Cut-off"),
        (81.0, " ", "Why"),
        (81.0, "So\u202e", "Why"),
    ],
)
def test_takes_a_figure_of_the_sheet_and_a_reason(
    lab: Lab, figure: float | None, reason: str, where: str
) -> None:
    table = planned(lab)

    with pytest.raises(Unacceptable) as refused:
        move_cut_off(lab, table, figure, reason)

    assert [problem.where for problem in refused.value.problems] == [where]


def test_moves_nothing_to_where_it_stands(lab: Lab) -> None:
    table = planned(lab)
    table_set(lab, table)

    with pytest.raises(Unacceptable, match="cut-off"):
        move_cut_off(lab, table, table.cut_off, "So.")


def test_nothing_is_moved_once_decided_or_given_up(lab: Lab) -> None:
    over, given_up = uncovered(lab), planned(lab)
    decided(lab, over)
    abandon(lab, given_up, "No water.")

    for table in (over, given_up):
        with pytest.raises(NotNow):
            move_cut_off(lab, table, 81.0, "So.")
