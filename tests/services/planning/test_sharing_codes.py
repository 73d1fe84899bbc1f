"""A table at which nobody tastes all codes, from the plan to the memo."""

from at_the_table import COFFEES, finish, planned, seated, under_way

from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.reports.render.terminal import as_text
from crustbreak.services.devices.seat_view import view_seat
from crustbreak.services.results.dataset import dataset_of
from crustbreak.services.results.decide import decide, evidence_blocks, memo_of
from crustbreak.services.tables.actions import look_at, uncover
from crustbreak.services.tables.prints import paper_sheets_of

MORE = (*COFFEES, "Old Post", "Tarn Ostell", "Quarrow")
THREE = ("Odile", "Anouk", "Piet")


def shared(lab: Lab) -> Table:
    return under_way(lab, tasters=THREE, coffees=MORE, share=4, setter="Wren")


def test_each_taster_sees_marks_and_calls_own_codes_alone(lab: Lab) -> None:
    table = shared(lab)

    for nth in range(3):
        at = seated(lab, table, nth)
        own = {place.id for place in table.tasted_by(at.seat)}
        assert len(own) == 4
        assert set(view_seat(lab, at).subjects) == own
        finish(lab, at)

    # Nobody is waited for who has called what was theirs.
    assert look_at(lab, table.id)[1].flight == "called"


def test_evidence_holds_each_look_that_was_taken(lab: Lab) -> None:
    table = shared(lab)
    for nth in range(3):
        finish(lab, seated(lab, table, nth))
    uncover(lab, table)

    dataset = dataset_of(lab, table)

    taken = [rating for rating in dataset.ratings if rating.score.total is not None]
    # Three tasters of four codes each.
    assert len(taken) == 12
    assert not any(rating.score.missing for rating in dataset.ratings)
    assert evidence_blocks(lab, table)


def test_the_memo_says_how_codes_were_shared_out(lab: Lab) -> None:
    table = shared(lab)
    for nth in range(3):
        finish(lab, seated(lab, table, nth))
    uncover(lab, table)
    decide(lab, table, dict.fromkeys(MORE, "buy"), reason="Clean.", decided_by="Wren")

    said = " ".join(as_text(memo_of(lab, table)).split())

    # Twelve tastings over six codes: two each.
    assert "Each taster tastes 4 of 6 codes, each code has 2 tasters" in said


def test_paper_has_own_codes_in_the_order_of_the_taster(lab: Lab) -> None:
    table = planned(lab, tasters=THREE, coffees=MORE, share=4)

    sheets = paper_sheets_of(lab, table)

    for seat, paper in zip(table.seats, sheets.seats, strict=True):
        assert seat.tasting_order is not None
        assert [place.id for place in paper.there] == [
            table.places[number].id for number in seat.tasting_order.there
        ]
        assert set(paper.back) == set(table.tasted_by(seat))
