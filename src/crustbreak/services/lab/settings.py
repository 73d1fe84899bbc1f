"""What the lab says of itself: asked once, kept with its date, good for what is planned after."""

from dataclasses import replace

from crustbreak.core.errors import refuse
from crustbreak.domain.brewing.bowls import BOWLS
from crustbreak.domain.planning.lab_settings import (
    LabSettingsDraft,
    check_kettle,
    check_lab_settings,
    make_lab_settings,
)
from crustbreak.domain.records.lab_settings import LabSettings
from crustbreak.ports.documents import LAB_SETTINGS
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import ReadAccess
from crustbreak.services.documents import lab_settings_at, settings_version
from crustbreak.services.lab.protocols import every_protocol, offered_protocols


def lab_settings_of(lab: Lab) -> LabSettings:
    """Return the lab as it stands."""

    def ask(records: ReadAccess) -> LabSettings:
        version = settings_version(records)
        lab_settings: LabSettings | None = lab.cache.recall("house", version)
        if lab_settings is None:
            lab_settings = lab_settings_at(records)
            lab.cache.remember("house", version, lab_settings)
        return lab_settings

    return lab.repository.read(ask)


def change_lab_settings(lab: Lab, draft: LabSettingsDraft) -> LabSettings:
    """Keep what a lab says of itself; a table planned earlier goes by what was said then.

    Raises:  Unacceptable with every fault.
    """
    protocols, bowls = every_protocol(lab), [bowl.kind for bowl in BOWLS]
    problems = check_lab_settings(draft, protocols=protocols, bowls=bowls)
    largest_ml = max(protocol.water_ml for protocol in offered_protocols(lab))
    refuse("The house", problems or check_kettle(draft, bowl_ml=largest_ml))
    lab_settings = make_lab_settings(draft)
    if lab_settings != replace(lab_settings_of(lab), measured=()):
        lab.repository.write(
            lambda records: records.add_document(LAB_SETTINGS, lab_settings, at=lab.clock.now())
        )
    return lab_settings
