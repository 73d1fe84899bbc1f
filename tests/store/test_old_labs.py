"""A lab that an earlier version filled opens with everything in it.

`old_labs/before_the_rooms` was filled by the program at commit cb99263 with one of each kind of
table there was; `facts.json` is what that program printed and counted then.
"""

import gzip
import json
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from at_the_door import host_client
from at_the_table import StandingClock

from crustbreak.exchange.canonical_json import plain, read_record
from crustbreak.ports.lab import Lab
from crustbreak.reports.render.pdf import as_pdf
from crustbreak.reports.render.terminal import as_text
from crustbreak.services.lab.settings import lab_settings_of
from crustbreak.services.lab.thermometer import known_bowls
from crustbreak.services.results.claims import claim_pack_of
from crustbreak.services.results.decide import evidence_of, memo_of
from crustbreak.services.tables.actions import look_at
from crustbreak.services.tables.views import list_tables
from crustbreak.wiring import back_up, open_lab

KEPT = Path(__file__).parent / "old_labs" / "before_the_rooms"
FACTS: dict[str, Any] = json.loads((KEPT / "facts.json").read_text(encoding="utf-8"))
TABLES = {each["id"]: each for each in FACTS["tables"]}
DECIDED = {each["id"]: each for each in FACTS["tables"] if each["verdicts"]}
# When it was put away: a claim pack says on which day of the claim it is read.
LATER_S = 60 + 4 * 24 * 3600.0 + 3600


def pour_back(folder: Path) -> None:
    """Make the files of a lab from what is kept of them."""
    folder.mkdir(parents=True)
    for name in ("lab", "keys"):
        text = gzip.decompress((KEPT / f"{name}.sql.gz").read_bytes()).decode("utf-8")
        with sqlite3.connect(folder / f"{name}.db") as file:
            file.executescript(text)
        file.close()


@pytest.fixture(scope="module")
def old(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lab]:
    folder = tmp_path_factory.mktemp("old") / "lab"
    pour_back(folder)
    clock = StandingClock()
    clock.pass_seconds(LATER_S)
    with open_lab(folder, name="Test lab", clock=clock) as lab:
        yield lab


def table(old: Lab, table_id: str) -> Any:
    return old.repository.read(lambda records: records.table(table_id))


def test_every_table_is_there_as_it_was(old: Lab) -> None:
    there = {each.id: (each, flight) for each, flight in list_tables(old)}

    assert set(there) == set(TABLES)
    for table_id, (each, flight) in there.items():
        said = TABLES[table_id]
        state = look_at(old, table_id)[1]
        coffees = old.repository.read(lambda records, at=table_id: records.coffees(at))
        assert (each.occasion, flight.value, each.question) == (
            said["occasion"],
            said["flight"],
            said["question"],
        )
        assert [place.code for place in each.places] == said["codes"]
        assert [coffee.name for coffee in coffees] == said["coffees"]
        assert state.cut_off == said["cut_off"]
        assert each.asked.get("certainty") == said["certainty"]
        marks = {seat.taster: len(state.seats[seat.id].marks) for seat in each.seats}
        assert marks == said["marks"]


@pytest.mark.parametrize("table_id", DECIDED)
def test_a_verdict_reads_word_for_word_as_it_did(old: Lab, table_id: str) -> None:
    verdicts = old.repository.read(lambda records: records.verdicts(table_id))

    for nth, (verdict, said) in enumerate(
        zip(verdicts, DECIDED[table_id]["verdicts"], strict=True), start=1
    ):
        assert verdict.digest == said["digest"]
        assert read_record(verdict.record, verdict.digest)
        assert as_text(memo_of(old, table(old, table_id), nth=nth)) == said["memo"]


@pytest.mark.parametrize("table_id", DECIDED)
def test_its_evidence_is_worked_out_again_as_it_was_kept(old: Lab, table_id: str) -> None:
    verdict = old.repository.read(lambda records: records.verdicts(table_id))[-1]

    kept = read_record(verdict.record, verdict.digest)["evidence"]

    assert json.loads(json.dumps(plain(evidence_of(old, table(old, table_id))))) == kept


def test_papers_beside_a_table_and_settings_are_there(old: Lab) -> None:
    settings, match = lab_settings_of(old), table(old, FACTS["names"]["match"])

    assert as_text(claim_pack_of(old, match)) == FACTS["claim"]
    assert {
        "anchors": list(settings.anchors),
        "currency": settings.currency,
        "bowls": settings.bowls,
        "kettles": settings.kettles,
        "protocol": settings.protocol,
    } == FACTS["house"]
    assert [each.measured.name for each in known_bowls(old) if each.measured] == FACTS["bowls"]
    assert as_pdf(memo_of(old, match)).startswith(b"%PDF")


def test_every_page_opens(old: Lab) -> None:
    paths = ["/", "/house", "/house/bowl", "/house/protocols"]
    paths += [f"/tables/{table_id}" for table_id in TABLES]
    paths += [f"/tables/{table_id}/memo" for table_id in DECIDED]
    paths += [f"/plan/{each['question']}?like={each['id']}" for each in TABLES.values()]
    paths += [f"/first-looks/{FACTS['names']['look']}"]
    paths += [f"/tables/{FACTS['names']['match']}/{name}" for name in ("physicals", "claim")]

    with host_client(old) as host:
        found = {path: host.get(path).status_code for path in paths}

    assert set(found.values()) == {200}, found


def test_it_can_be_backed_up(old: Lab, tmp_path: Path) -> None:
    pour_back(tmp_path / "lab")
    with open_lab(tmp_path / "lab", name="Test lab"):
        pass

    assert back_up(tmp_path / "lab", tmp_path / "copy") == len(TABLES)
