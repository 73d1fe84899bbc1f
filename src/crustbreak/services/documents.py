"""What the lab has written down of itself, as it stood at a moment."""

from dataclasses import replace
from datetime import datetime

from crustbreak.domain.records.bowl_readings import MeasuredBowl
from crustbreak.domain.records.lab_settings import SHIPPED, LabSettings
from crustbreak.ports.documents import LAB_SETTINGS, MEASURED_BOWLS, OWN_PROTOCOLS
from crustbreak.ports.repository import ReadAccess


def lab_settings_at(records: ReadAccess, at: datetime | None = None) -> LabSettings:
    """Return the lab's settings as they stood at a moment, or as they stand."""
    settings = records.document(LAB_SETTINGS, until=at) or SHIPPED
    return replace(settings, measured=_measured(records, at))


def _measured(records: ReadAccess, at: datetime | None) -> tuple[MeasuredBowl, ...]:
    last = {each.kind: each for each in records.documents(MEASURED_BOWLS, until=at)}
    return tuple(each for each in last.values() if each.is_measured)


def settings_version(records: ReadAccess) -> int:
    """Return a number that rises with whatever the lab says of itself."""
    return records.documents_version(LAB_SETTINGS, MEASURED_BOWLS, OWN_PROTOCOLS)
