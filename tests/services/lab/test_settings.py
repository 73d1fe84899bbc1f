import pytest
from at_the_table import StandingClock, planned, uncovered

from crustbreak.core.errors import Unacceptable
from crustbreak.domain.planning.lab_settings import SETTINGS, LabSettingsDraft
from crustbreak.domain.records.lab_settings import LabSettings
from crustbreak.ports.lab import Lab
from crustbreak.services.lab.settings import change_lab_settings, lab_settings_of
from crustbreak.services.results.dataset import dataset_with_history


def draft(*anchors: str) -> LabSettingsDraft:
    figures = {each.name: float(getattr(LabSettings(), each.name)) for each in SETTINGS}
    return LabSettingsDraft(anchors=anchors, currency="EUR", figures=figures)


def test_a_lab_begins_with_what_is_shipped(lab: Lab) -> None:
    assert lab_settings_of(lab) == LabSettings()


def test_what_was_said_last_holds(lab: Lab) -> None:
    change_lab_settings(lab, draft("Ines"))
    change_lab_settings(lab, draft("Ines", "Tomas"))

    assert lab_settings_of(lab) == LabSettings(anchors=("Ines", "Tomas"), currency="EUR")


def test_a_table_goes_by_what_held_when_it_was_planned(lab: Lab, clock: StandingClock) -> None:
    change_lab_settings(lab, draft("Ines"))
    clock.pass_seconds(60)
    table = uncovered(lab)
    clock.pass_seconds(60)
    change_lab_settings(lab, draft("Wren"))

    assert dataset_with_history(lab, table).lab_settings.anchors == ("Ines",)
    assert planned(lab).planned_at == clock.now()


def test_a_faulty_draft_leaves_the_house_as_it_is(lab: Lab) -> None:
    with pytest.raises(Unacceptable):
        change_lab_settings(lab, draft("Ines", "ines"))

    assert lab_settings_of(lab) == LabSettings()


def test_a_kettle_that_fills_no_bowl_is_refused(lab: Lab) -> None:
    # Of 200 ml 50 cannot be poured, and the widest bowl that is shipped takes 180 ml.
    small = draft("Ines")
    figures = {**small.figures, "kettle_ml": 200.0}

    with pytest.raises(Unacceptable):
        change_lab_settings(lab, LabSettingsDraft(anchors=(), currency="EUR", figures=figures))

    assert lab_settings_of(lab) == LabSettings()
