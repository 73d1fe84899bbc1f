import pytest
from at_the_table import StandingClock, planned, uncovered

from crustbreak.core.errors import Unacceptable
from crustbreak.domain.planning.lab_settings import SETTINGS, HouseDraft
from crustbreak.domain.records.lab_settings import House
from crustbreak.ports.lab import Lab
from crustbreak.services.lab.settings import house_of, settle_house
from crustbreak.services.results.dataset import frame_with_history


def draft(*anchors: str) -> HouseDraft:
    figures = {each.name: float(getattr(House(), each.name)) for each in SETTINGS}
    return HouseDraft(anchors=anchors, currency="EUR", figures=figures)


def test_a_lab_begins_with_what_is_shipped(lab: Lab) -> None:
    assert house_of(lab) == House()


def test_what_was_said_last_holds(lab: Lab) -> None:
    settle_house(lab, draft("Ines"))
    settle_house(lab, draft("Ines", "Tomas"))

    assert house_of(lab) == House(anchors=("Ines", "Tomas"), currency="EUR")


def test_a_table_goes_by_what_held_when_it_was_planned(lab: Lab, clock: StandingClock) -> None:
    settle_house(lab, draft("Ines"))
    clock.pass_seconds(60)
    table = uncovered(lab)
    clock.pass_seconds(60)
    settle_house(lab, draft("Wren"))

    assert frame_with_history(lab, table).house.anchors == ("Ines",)
    assert planned(lab).planned_at == clock.now()


def test_a_faulty_draft_leaves_the_house_as_it_is(lab: Lab) -> None:
    with pytest.raises(Unacceptable):
        settle_house(lab, draft("Ines", "ines"))

    assert house_of(lab) == House()


def test_a_kettle_that_fills_no_bowl_is_refused(lab: Lab) -> None:
    # Of 200 ml 50 cannot be poured, and the widest bowl that is shipped takes 180 ml.
    small = draft("Ines")
    figures = {**small.figures, "kettle_ml": 200.0}

    with pytest.raises(Unacceptable):
        settle_house(lab, HouseDraft(anchors=(), currency="EUR", figures=figures))

    assert house_of(lab) == House()
