"""What the lab has written down of itself, as it stood at a moment."""

from datetime import datetime, timedelta
from typing import Any

from at_the_table import MORNING

from crustbreak.domain.records.bowl_readings import MeasuredBowl
from crustbreak.domain.records.lab_settings import LabSettings
from crustbreak.ports.documents import LAB_SETTINGS, MEASURED_BOWLS
from crustbreak.ports.lab import Lab
from crustbreak.services.documents import lab_settings_at, settings_version


def day(number: float) -> datetime:
    return MORNING + timedelta(days=number)


def at(lab: Lab, number: float) -> LabSettings:
    return lab.repository.read(lambda records: lab_settings_at(records, day(number)))


def test_settings_are_as_they_stood_at_a_moment(lab: Lab) -> None:
    for anchors, number in ((("Ines",), 1), (("Wren",), 2)):
        settings, since = LabSettings(anchors=anchors, currency="EUR"), day(number)
        lab.repository.write(
            lambda records, kept=settings, at=since: records.add_document(LAB_SETTINGS, kept, at=at)
        )

    assert at(lab, 1.5).anchors == ("Ines",)
    assert lab.repository.read(lab_settings_at).anchors == ("Wren",)
    assert at(lab, 0) == LabSettings()


def test_a_bowl_counts_from_when_it_was_measured_until_it_is_put_back(lab: Lab) -> None:
    def bowl(number: int, kind: str, **found: Any) -> MeasuredBowl:
        return MeasuredBowl(kind=kind, name=kind, since=day(number), **found)

    glass = bowl(1, "standard glass", readings=((600.0, 68.5),), loss_factor=1.1, loss_doubt=0.06)
    other = bowl(2, "heavy ceramic", readings=((600.0, 60.5),), loss_factor=0.9, loss_doubt=0.06)
    back = bowl(3, "standard glass")
    for each in (glass, other, back):
        lab.repository.write(
            lambda records, kept=each: records.add_document(
                MEASURED_BOWLS, kept, kept.kind, at=kept.since
            )
        )

    assert [at(lab, number).measured for number in (0.5, 1.5, 2.5, 3.5)] == [
        (),
        (glass,),
        (glass, other),
        (other,),
    ]


def test_the_version_rises_with_whatever_the_lab_says(lab: Lab) -> None:
    before = lab.repository.read(settings_version)
    lab.repository.write(
        lambda records: records.add_document(LAB_SETTINGS, LabSettings(), at=MORNING)
    )

    assert lab.repository.read(settings_version) > before
