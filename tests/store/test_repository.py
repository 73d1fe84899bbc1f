import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from threading import Thread
from typing import Any

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

from crustbreak.domain.records.lab_settings import LabSettings
from crustbreak.domain.records.tables import Table
from crustbreak.domain.records.verdicts import Verdict
from crustbreak.ports.documents import LAB_SETTINGS
from crustbreak.ports.repository import Helper, Joining, KeptEntry, Pass, SetAside, Tap, WriteAccess
from crustbreak.store.connections import sqlite_module, writing_engine
from crustbreak.store.errors import Closed, LabInUse, NotRead
from crustbreak.store.repository import BOOKS_FILE, SqliteRepository, open_repository
from crustbreak.store.schema import ONLY_ADDED

OPEN = """
import sys
from pathlib import Path
from crustbreak.core.errors import CrustbreakError
from crustbreak.store.repository import open_repository
try:
    open_repository(Path(sys.argv[1])).close()
except CrustbreakError as error:
    print(type(error).__name__, error.message, error.hint, sep="\\n")
"""


def test_a_lab_that_was_closed_is_read_again(
    folder: Path, make_table: Callable[..., Table], make_entry: Callable[..., KeptEntry]
) -> None:
    table, kept = make_table(), make_entry()
    with open_repository(folder) as repository:
        repository.write(lambda writing: writing.add_table(table, (), token="token"))
        repository.write(lambda writing: writing.add_entry(kept))

    with open_repository(folder) as repository:
        assert repository.read(lambda reading: reading.tables()) == (table,)
        assert repository.read(lambda reading: reading.entries(table.id)) == (kept,)


def test_a_closed_lab_is_one_file_and_its_lock(
    folder: Path, table: Table, repository: SqliteRepository
) -> None:
    repository.close()

    assert {file.name for file in folder.iterdir()} == {"lab.db", "lab.db.lock"}


def test_work_is_kept_whole_or_not_at_all(
    repository: SqliteRepository, table: Table, make_entry: Callable[..., KeptEntry], moment: Any
) -> None:
    def work(writing: WriteAccess) -> None:
        writing.add_entry(make_entry(1))
        writing.add_event(table.id, "poured", at=moment)
        raise LookupError("half way")

    with pytest.raises(LookupError, match="half way"):
        repository.write(work)

    assert repository.read(lambda reading: reading.entries(table.id)) == ()
    assert repository.read(lambda reading: reading.events(table.id)) == ()


def test_work_reads_what_it_wrote(
    repository: SqliteRepository, table: Table, make_entry: Callable[..., KeptEntry]
) -> None:
    kept = make_entry()

    def work(writing: WriteAccess) -> tuple[KeptEntry, ...]:
        writing.add_entry(kept)
        return writing.entries(table.id)

    assert repository.write(work) == (kept,)


def test_read_check_write_is_one_unit_among_many_threads(
    repository: SqliteRepository, table: Table, moment: Any
) -> None:
    taken = []

    def take(number: int) -> None:
        def work(writing: WriteAccess) -> bool:
            if writing.joinings(table.id):
                return False
            writing.add_joining(
                Joining(
                    table_id=table.id,
                    seat_id=table.seats[0].id,
                    grip=1,
                    secret_hash=str(number),
                    joined_at=moment,
                )
            )
            return True

        taken.append(repository.write(work))

    threads = [Thread(target=take, args=(number,)) for number in range(20)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert sorted(taken) == [False] * 19 + [True]


def test_many_writers_share_commits(
    repository: SqliteRepository,
    table: Table,
    make_entry: Callable[..., KeptEntry],
    counted: Callable[..., Any],
) -> None:
    def write(grip: int) -> None:
        for no in range(1, 11):
            kept = make_entry(no, grip=grip)
            repository.write(lambda writing, kept=kept: writing.add_entry(kept))

    threads = [Thread(target=write, args=(grip,)) for grip in range(1, 31)]
    with counted("commit") as commits:
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()

    assert len(repository.read(lambda reading: reading.entries(table.id))) == 300
    assert len(commits) < 300


def test_what_is_queued_is_kept_when_it_is_answered(
    repository: SqliteRepository, table: Table, make_entry: Callable[..., KeptEntry]
) -> None:
    queued = [
        repository.later(lambda writing, no=no: writing.add_entry(make_entry(no)))
        for no in range(1, 6)
    ]

    assert [each.result(10) for each in queued] == [None] * 5
    assert len(repository.read(lambda reading: reading.entries(table.id))) == 5


def test_a_question_cannot_write(repository: SqliteRepository, table: Table) -> None:
    def smuggle(reading: Any) -> None:
        reading._connection.execute(text("DELETE FROM coffees"))

    with pytest.raises(NotRead, match="readonly"):
        repository.read(smuggle)

    assert len(repository.read(lambda reading: reading.coffees(table.id))) == 3


def test_after_the_close_nothing_is_asked_or_kept(
    repository: SqliteRepository, moment: Any
) -> None:
    repository.close()

    with pytest.raises(Closed):
        repository.read(lambda reading: reading.tables())
    with pytest.raises(Closed):
        repository.write(lambda writing: writing.add_event("table-1", "poured", at=moment))


@pytest.fixture
def full(
    repository: SqliteRepository, table: Table, make_entry: Callable[..., KeptEntry], moment: Any
) -> SqliteRepository:
    """Give books with a row of everything that is only ever added."""
    seat = table.seats[0].id

    def work(writing: WriteAccess) -> None:
        writing.add_entry(make_entry())
        writing.add_event(table.id, "poured", at=moment)
        writing.add_joining(
            Joining(table_id=table.id, seat_id=seat, grip=1, secret_hash="s", joined_at=moment)
        )
        writing.add_set_aside(
            SetAside(
                table_id=table.id,
                seat_id=seat,
                body="{}",
                digest="d",
                rule="r",
                remedy="r",
                received_at=moment,
            )
        )
        writing.add_verdict(
            Verdict(
                table_id=table.id, decided_at=moment, decided_by="Mona", record="{}", digest="d"
            )
        )
        _fill_doors(writing, table.id, moment)

    repository.write(work)
    return repository


def _fill_doors(writing: WriteAccess, table_id: str, moment: Any) -> None:
    writing.add_code(table_id, "AAA222", at=moment)
    writing.add_pass(
        Pass(table_id=table_id, seat_id=None, token="t", code="BBB333", made_at=moment)
    )
    writing.add_helper(
        Helper(table_id=table_id, grip=1, secret_hash="h", joined_at=moment, token="t")
    )
    writing.add_tap(
        Tap(
            table_id=table_id,
            id="a",
            grip=1,
            no=1,
            kind="poured",
            value=None,
            device_time=moment,
            received_at=moment,
            digest="d",
        )
    )
    writing.add_incarnation("one", at=moment, reason="begun")
    writing.add_host_device("d", at=moment)
    writing.add_document(LAB_SETTINGS, LabSettings(), at=moment)


@pytest.mark.parametrize(
    "act",
    [
        "UPDATE {0} SET rowid = rowid",
        "DELETE FROM {0}",
        "REPLACE INTO {0} SELECT * FROM {0}",
    ],
)
def test_what_was_said_is_never_changed(full: SqliteRepository, folder: Path, act: str) -> None:
    full.close()
    engine = writing_engine(folder / BOOKS_FILE)

    for name in ONLY_ADDED:
        with (
            engine.connect() as connection,
            connection.begin(),
            pytest.raises(IntegrityError, match="only ever added"),
        ):
            connection.execute(text(act.format(name)))

    engine.dispose()


def test_a_shell_cannot_change_it_either(full: SqliteRepository, folder: Path) -> None:
    full.close()
    module = sqlite_module()
    shell = module.connect(folder / BOOKS_FILE)

    with pytest.raises(module.IntegrityError, match="only ever added"):
        shell.execute("UPDATE entries SET value = '9.0'")

    shell.close()


def test_the_same_lab_is_not_opened_twice(repository: SqliteRepository, folder: Path) -> None:
    with pytest.raises(LabInUse):
        open_repository(folder)


def test_a_second_process_is_refused_in_plain_words(
    repository: SqliteRepository, folder: Path
) -> None:
    second = subprocess.run(
        [sys.executable, "-c", OPEN, folder], capture_output=True, text=True, check=True
    )

    kind, message, hint = second.stdout.splitlines()
    assert kind == "LabInUse"
    assert message == "This lab is open in another program."
    assert hint
