"""Each kind of document goes to JSON and comes back as it was written."""

import json
from datetime import UTC, date, datetime
from typing import Any

import pytest
from pydantic import ValidationError

from crustbreak.domain.records.bowl_readings import MeasuredBowl
from crustbreak.domain.records.claims import Claim
from crustbreak.domain.records.lab_settings import LabSettings
from crustbreak.domain.records.physicals import Measurement, OldScore, Physicals
from crustbreak.ports.documents import (
    CLAIMS,
    LAB_SETTINGS,
    MEASURED_BOWLS,
    OWN_PROTOCOLS,
    PHYSICALS,
    DocumentKind,
)
from protocols import own_protocol

MOMENT = datetime(2031, 3, 4, 9, 30, 0, 250_000, tzinfo=UTC)
DOCUMENTS: tuple[tuple[DocumentKind[Any], Any], ...] = (
    (LAB_SETTINGS, LabSettings(anchors=("Ines", "Wren"), currency="EUR", bowls=42)),
    (
        MEASURED_BOWLS,
        MeasuredBowl(
            kind="standard glass",
            name="grey",
            since=MOMENT,
            readings=((600.0, 68.5), (900.0, 63.25)),
            protocol="standard/1",
            room_c=21.5,
            loss_factor=1.1,
            loss_doubt=0.06,
        ),
    ),
    (OWN_PROTOCOLS, own_protocol(version=2)),
    (
        PHYSICALS,
        Physicals(
            readings=(Measurement(measure="moisture", found="10.0", most="12.50"),),
            old_score=OldScore(score=87.5, tasters=3),
            by="Odile",
        ),
    ),
    (
        CLAIMS,
        Claim(
            discharged=date(2031, 2, 23), contract="gca/1", own_days=28, said={"photos": "Drive 2"}
        ),
    ),
)


@pytest.mark.parametrize(("kind", "document"), DOCUMENTS, ids=lambda each: type(each).__name__)
def test_comes_back_as_it_was_written(kind: DocumentKind[Any], document: Any) -> None:
    assert kind.read(json.loads(json.dumps(kind.write(document)))) == document


def test_what_an_earlier_version_did_not_ask_is_as_usual() -> None:
    read = LAB_SETTINGS.read({"anchors": ["Ines"], "currency": "EUR", "no_longer_asked": 3})

    assert read == LabSettings(anchors=("Ines",), currency="EUR")


def test_what_has_another_shape_is_no_document() -> None:
    with pytest.raises(ValidationError):
        OWN_PROTOCOLS.read({"id": "own-1"})


def test_every_kind_has_a_subject_of_its_own() -> None:
    assert len({kind.subject for kind, _ in DOCUMENTS}) == len(DOCUMENTS)
