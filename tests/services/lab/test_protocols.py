from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from at_the_table import planned

from crustbreak.core.errors import NotThere, Unacceptable
from crustbreak.domain.planning.lab_settings import SETTINGS, LabSettingsDraft
from crustbreak.domain.planning.protocol_input import ProtocolDraft
from crustbreak.domain.records.lab_settings import LabSettings
from crustbreak.ports.documents import OWN_PROTOCOLS
from crustbreak.ports.lab import Lab
from crustbreak.ports.repository import ReadAccess, Repository, WriteAccess
from crustbreak.services.lab.protocols import (
    add_protocol,
    every_protocol,
    offered_protocols,
    protocol_of,
)
from crustbreak.services.lab.settings import change_lab_settings, lab_settings_of

FIGURES = {"dose_g": 9.3, "water_ml": 150.0, "steep_s": 240.0, "pour_c": 94.0, "stirs": 3.0}
OURS = ProtocolDraft(of="", title="Ours", figures=FIGURES)


def test_a_houses_own_is_offered_and_a_table_is_set_by_it(lab: Lab) -> None:
    ours = add_protocol(lab, OURS)
    table = planned(lab, protocol=ours.ref)

    assert offered_protocols(lab)[0] == ours == protocol_of(lab, ours.ref)
    assert lab.repository.read(lambda records: records.table(table.id)).recipe.dose_g == 9.3


def test_a_change_leaves_what_was_kept(lab: Lab) -> None:
    ours = add_protocol(lab, OURS)
    stronger = add_protocol(lab, replace(OURS, of=ours.id, figures={**FIGURES, "dose_g": 10.0}))

    assert (ours.version, stronger.version) == (1, 2)
    assert every_protocol(lab)[ours.ref] == ours
    assert [each.ref for each in offered_protocols(lab) if each.id == ours.id] == [stronger.ref]


def test_the_same_again_is_no_new_version(lab: Lab) -> None:
    ours = add_protocol(lab, OURS)

    assert add_protocol(lab, replace(OURS, of=ours.id)) == ours
    assert lab.repository.read(lambda records: records.documents(OWN_PROTOCOLS)) == (ours,)


def test_the_house_may_offer_it_first(lab: Lab) -> None:
    ours = add_protocol(lab, OURS)
    figures = {each.name: float(getattr(LabSettings(), each.name)) for each in SETTINGS}

    change_lab_settings(
        lab, LabSettingsDraft(anchors=(), currency="EUR", figures=figures, protocol=ours.ref)
    )

    assert lab_settings_of(lab).protocol == ours.ref
    assert planned(lab).recipe.pour_c == 94


def test_a_faulty_one_is_not_kept(lab: Lab) -> None:
    with pytest.raises(Unacceptable):
        add_protocol(lab, replace(OURS, title=""))

    assert lab.repository.read(lambda records: records.documents(OWN_PROTOCOLS)) == ()


def test_says_which_there_are(lab: Lab) -> None:
    with pytest.raises(NotThere, match="no protocol 'own-9/1'"):
        protocol_of(lab, "own-9/1")


class MeanwhileAnother:
    """Records into which somebody else saves just before the next work is done."""

    def __init__(self, repository: Repository, meanwhile: Callable[[], object]) -> None:
        self._repository = repository
        self._meanwhile = meanwhile

    def read(self, ask: Callable[[ReadAccess], Any]) -> Any:
        return self._repository.read(ask)

    def write(self, work: Callable[[WriteAccess], Any]) -> Any:
        self._meanwhile()
        return self._repository.write(work)

    def later(self, work: Callable[[WriteAccess], Any]) -> Any:
        return self._repository.later(work)


def test_two_that_are_saved_at_once_are_both_kept(lab: Lab) -> None:
    theirs = replace(OURS, title="Theirs", figures={**FIGURES, "dose_g": 11.0})
    meanwhile = MeanwhileAnother(lab.repository, lambda: add_protocol(lab, theirs))

    ours = add_protocol(replace(lab, repository=meanwhile), OURS)

    own = lab.repository.read(lambda records: records.documents(OWN_PROTOCOLS))
    assert sorted(each.title for each in own) == ["Ours", "Theirs"]
    assert len({each.ref for each in own}) == 2
    assert every_protocol(lab)[ours.ref].title == "Ours"
