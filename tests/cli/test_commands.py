import socket
from collections.abc import Callable
from pathlib import Path

import pytest
from at_the_table import COFFEES, opened_lab, planned, under_way
from typer.testing import CliRunner

from crustbreak import __version__
from crustbreak.cli.commands import (
    NotWritten,
    announce,
    build_commands,
    print_error,
    write_paper,
)
from crustbreak.cli.link_file import NotRunning, write_link
from crustbreak.config import Settings
from crustbreak.core.errors import NotNow, Problem, Unacceptable
from crustbreak.demo.lab import fill_demo
from crustbreak.ports.lab import Lab
from crustbreak.questions.choose.document import choice_memo
from crustbreak.services.devices.host_login import Links
from crustbreak.services.tables.actions import abandon
from crustbreak.services.tables.views import list_tables, view_table
from crustbreak.wiring import open_lab
from papers import record
from prints import pages, size_mm


class FakeDoors:
    """Serves nothing and remembers what it was asked to serve."""

    def __init__(self) -> None:
        self.served: list[Settings] = []
        self.kept: list[str] = []

    def __call__(
        self, lab: Lab, settings: Settings, links: Links, ready: Callable[[], None]
    ) -> None:
        self.served.append(settings)
        self.kept.append(settings.link_file.read_text())
        assert settings.link_url(links.unused) in self.kept[-1]
        ready()


# Seven that are told by their gist, one decided in full, one ready to pour.
DEMO_TABLES = 10


def run(doors: FakeDoors, *arguments: str) -> str:
    app = build_commands(serve=doors, fill_demo=fill_demo)
    result = CliRunner().invoke(app, arguments, catch_exceptions=False)
    assert result.exit_code == 0
    return result.output


def test_opens_the_demo_lab_and_says_where(tmp_path: Path) -> None:
    doors = FakeDoors()

    said = run(doors, "run", "--demo", "--folder", str(tmp_path), "--address", "10.1.2.3")

    assert f"On this laptop:  {doors.kept[0]}" in said
    assert "It works once" in said
    assert f"crustbreak link --folder {tmp_path}" in said
    assert "http://10.1.2.3:8771/#" in said
    # The QR code is drawn in block signs.
    assert "█" in said
    assert doors.served[0].lab_name == "Ketterby Roastery (invented)"


def test_fills_the_demo_once(tmp_path: Path) -> None:
    for _ in range(2):
        run(FakeDoors(), "run", "--demo", "--folder", str(tmp_path))

    with open_lab(tmp_path, name="") as lab:
        assert len(list_tables(lab)) == DEMO_TABLES


def test_keeps_the_demo_out_of_the_labs_own_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    doors = FakeDoors()

    run(doors, "run", "--demo")
    run(doors, "run", "--name", "Our lab")

    assert doors.served[0].folder == tmp_path / "crustbreak" / "demo"
    assert doors.served[1].folder == tmp_path / "crustbreak"


def test_prints_a_memo(tmp_path: Path) -> None:
    run(FakeDoors(), "run", "--demo", "--folder", str(tmp_path))
    with open_lab(tmp_path, name="") as lab:
        table = next(t for t, flight in list_tables(lab) if flight == "decided")

    memo = run(FakeDoors(), "memo", table.id, "--folder", str(tmp_path))

    assert "BUY PELLAMY UPPER." in memo
    # The picture is drawn in signs.
    assert "┊" in memo


@pytest.mark.parametrize(
    ("ending", "starts"), [("pdf", b"%PDF-1.7"), ("html", b"<!doctype html>"), ("txt", b"Decision")]
)
def test_writes_a_memo_in_the_form_that_the_ending_names(
    tmp_path: Path, ending: str, starts: bytes
) -> None:
    run(FakeDoors(), "run", "--demo", "--folder", str(tmp_path))
    with open_lab(tmp_path, name="") as lab:
        table = next(t for t, flight in list_tables(lab) if flight == "decided")
    into = tmp_path / f"memo.{ending}"

    said = run(FakeDoors(), "memo", table.id, str(into), "--folder", str(tmp_path))

    assert said == f"Written: {into}\n"
    assert into.read_bytes().lstrip().startswith(starts)


def test_writes_no_paper_of_another_ending_nor_where_no_folder_is(tmp_path: Path) -> None:
    paper = choice_memo(record())

    with pytest.raises(Unacceptable, match=r"not written as '\.doc'"):
        write_paper(paper, tmp_path / "memo.doc")
    with pytest.raises(NotWritten, match="cannot be written: No such file"):
        write_paper(paper, tmp_path / "nowhere" / "memo.txt")


@pytest.mark.parametrize("what", ["places", "bowls", "sheets"])
def test_writes_what_lies_on_a_table_and_names_no_coffee(tmp_path: Path, what: str) -> None:
    with opened_lab(tmp_path / "lab") as (lab, _):
        table = planned(lab)
    into = tmp_path / f"{what}.pdf"

    where = ("--folder", str(tmp_path / "lab"), "--paper", "letter")
    said = run(FakeDoors(), "print", table.id, what, str(into), *where)

    assert said == f"Written: {into}\n"
    printed = into.read_bytes()
    text = " ".join(pages(printed))
    assert all(place.code in text for place in table.places)
    assert not any(coffee in text for coffee in COFFEES)
    # ANSI/ASME Y14.1: 8.5 by 11 inches.
    assert size_mm(printed) == pytest.approx((215.9, 279.4), abs=0.2)


def test_prints_no_card_with_names_and_nothing_but_pdf(tmp_path: Path) -> None:
    app = build_commands(serve=FakeDoors(), fill_demo=fill_demo)

    asked = CliRunner().invoke(app, ["print", "t1", "card", "--folder", str(tmp_path)])

    assert asked.exit_code == 2
    with pytest.raises(Unacceptable, match=r"not written as '\.doc'"):
        run(FakeDoors(), "print", "t1", "places", "x.doc", "--folder", str(tmp_path))


def test_prints_the_version() -> None:
    assert run(FakeDoors(), "version").strip() == __version__


def test_announces_no_phones_where_no_table_waits(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    settings = Settings(
        folder=tmp_path, lab_name="Test lab", host_port=1, phone_port=2, phone_address="10.1.2.3"
    )
    with opened_lab(tmp_path / "lab") as (lab, _):
        announce(lab, settings, "one-time")

    said = capsys.readouterr().out
    assert "Test lab is open." in said
    assert "For the phones" not in said


def test_announces_the_table_that_was_being_tasted_before_a_newer_plan(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    settings = Settings(
        folder=tmp_path, lab_name="Test lab", host_port=1, phone_port=2, phone_address="10.1.2.3"
    )
    with opened_lab(tmp_path / "lab") as (lab, clock):
        tasted = under_way(lab)
        clock.pass_seconds(60)
        planned(lab)
        announce(lab, settings, "one-time")
        token = view_table(lab, tasted.id).invitation

    assert settings.join_url(token) in capsys.readouterr().out


def test_prints_the_link_of_a_lab_that_is_open(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as lab:
        url = f"http://127.0.0.1:{lab.getsockname()[1]}/enter/abc"
        write_link(tmp_path / "link", url)

        said = run(FakeDoors(), "link", "--folder", str(tmp_path))

    assert said == f"{url}\n"


def test_says_that_no_lab_is_open(tmp_path: Path) -> None:
    with pytest.raises(NotRunning) as refused:
        run(FakeDoors(), "link", "--folder", str(tmp_path))

    assert "crustbreak run" in refused.value.hint


def test_says_an_error_in_two_lines_and_its_problems(capsys: pytest.CaptureFixture[str]) -> None:
    problem = Problem(where="Cut-off", rule="a number", found="none", remedy="Give one.")

    print_error(NotNow("The table is set.", hint="Pour.", problems=(problem,)))

    assert capsys.readouterr().err.splitlines() == [
        "error: The table is set.",
        "  Cut-off: a number; found none. Give one.",
        "hint: Pour.",
    ]


def test_copies_the_lab_and_puts_the_copy_back(tmp_path: Path) -> None:
    lab, copy = tmp_path / "lab", tmp_path / "copy"
    run(FakeDoors(), "run", "--demo", "--folder", str(lab))
    with open_lab(lab, name="") as opened:
        table = next(at for at, flight in list_tables(opened) if flight == "set")
        abandon(opened, table, "The kettle broke.")

    made = run(FakeDoors(), "backup", str(copy), "--folder", str(lab))
    put = run(FakeDoors(), "restore", str(copy), "--folder", str(lab))
    new = run(FakeDoors(), "restore", str(copy), "--folder", str(tmp_path / "new"))

    assert f"Copied into {copy}: {DEMO_TABLES} tables" in made
    assert "The keys are in it" in made
    assert f"Put back: {DEMO_TABLES} tables" in put
    assert f"What was there lies in {lab}/before-" in put
    assert "What was there" not in new


def test_copies_the_demo_and_a_lab_of_one_table(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    run(FakeDoors(), "run", "--demo")
    with opened_lab(tmp_path / "crustbreak") as (lab, _):
        planned(lab)

        own = run(FakeDoors(), "backup", str(tmp_path / "own"))
    demo = run(FakeDoors(), "backup", str(tmp_path / "demo"), "--demo")

    assert "1 table," in own
    assert f"{DEMO_TABLES} tables," in demo


def test_a_port_in_use_is_told_and_the_next_one_taken(tmp_path: Path) -> None:
    doors = FakeDoors()
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        said = run(doors, "run", "--folder", str(tmp_path / "lab"), "--host-port", str(port))

    assert doors.served[0].host_port > port
    assert f"Port {port} is in use, using {doors.served[0].host_port} instead." in said
    assert "scan the code again" not in said


def test_phones_that_joined_are_told_of_when_their_port_has_moved(tmp_path: Path) -> None:
    with opened_lab(tmp_path / "lab") as (lab, _):
        under_way(lab)
    with socket.socket() as other:
        other.bind(("0.0.0.0", 0))
        other.listen()
        port = other.getsockname()[1]
        said = run(FakeDoors(), "run", "--folder", str(tmp_path / "lab"), "--phone-port", str(port))

    assert "Phones that joined before have to scan the code again." in said
