"""The commands. What they open and fill is handed in, so that no edge knows another."""

import shlex
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Literal

import segno
import typer

from crustbreak import __version__
from crustbreak.cli.link_file import link_in, read_link
from crustbreak.config import HOST_PORT, PHONE_PORT, Settings, default_folder, free_ports
from crustbreak.core.errors import CrustbreakError, Unacceptable
from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.reports.blocks import Paper
from crustbreak.reports.cards.cards import PageSize, place_cards_pdf
from crustbreak.reports.cards.tasting_sheet import paper_sheets_pdf
from crustbreak.reports.render.html import as_html
from crustbreak.reports.render.pdf import as_pdf
from crustbreak.reports.render.terminal import COLUMNS, as_text
from crustbreak.reports.text import format_list
from crustbreak.services.devices.host_login import Links
from crustbreak.services.results.decide import memo_of
from crustbreak.services.tables.actions import look_at
from crustbreak.services.tables.prints import paper_sheets_of, place_cards_of
from crustbreak.services.tables.views import list_tables, view_table
from crustbreak.wiring import back_up, open_lab, restore

Serve = Callable[[Lab, Settings, Links, Callable[[], None]], None]

# Where a phone may be needed, the most pressing first.
JOINED = ("under way", "set", "planned")

# A paper in the form that a file's ending names.
FORMS: dict[str, Callable[[Paper], bytes]] = {
    ".pdf": as_pdf,
    ".html": lambda paper: as_html(paper).encode("utf-8"),
    ".txt": lambda paper: as_text(paper).encode("utf-8"),
}

Prints = Literal["places", "bowls", "sheets"]

# None of them shows a name: the card that does is printed from its own page.
PRINTS: dict[Prints, Callable[[Lab, Table, PageSize], bytes]] = {
    "places": lambda lab, at, size: place_cards_pdf(place_cards_of(lab, at), size=size),
    "bowls": lambda lab, at, size: place_cards_pdf(place_cards_of(lab, at, bowls=True), size=size),
    "sheets": lambda lab, at, size: paper_sheets_pdf(paper_sheets_of(lab, at), size=size),
}

DEMO_NAME = "Ketterby Roastery (invented)"


class NotWritten(CrustbreakError):
    """A file could not be written."""


def build_commands(*, serve: Serve, fill_demo: Callable[[Lab], None]) -> typer.Typer:
    """Build the command line around a way to serve a lab and a way to fill a demo."""
    app = typer.Typer(
        help="Plan a tasting table, run it blind, and keep the verdict.",
        no_args_is_help=True,
        add_completion=False,
        pretty_exceptions_enable=False,
    )

    @app.command()
    def run(
        folder: Annotated[Path | None, typer.Option(help="Where the lab is kept.")] = None,
        name: Annotated[str, typer.Option(help="The lab's name on its papers.")] = "Our lab",
        demo: Annotated[bool, typer.Option(help="Open an invented lab to try things.")] = False,
        host_port: Annotated[int, typer.Option(help="Port of the laptop's page.")] = HOST_PORT,
        phone_port: Annotated[int, typer.Option(help="Port of the phones' page.")] = PHONE_PORT,
        address: Annotated[
            str | None, typer.Option(help="The laptop's address on its network.")
        ] = None,
    ) -> None:
        """Open the lab: the host's page on this laptop, the phones' page on its network."""
        ports = free_ports(host_port, phone_port)
        settings = Settings(
            folder=_folder(folder, demo=demo),
            lab_name=DEMO_NAME if demo else name,
            host_port=ports[0],
            phone_port=ports[1],
            phone_address=address or "",
        )
        with open_lab(settings.folder, name=settings.lab_name) as lab:
            if demo and not list_tables(lab):
                fill_demo(lab)
            with link_in(settings.link_file) as keep:
                links = Links(lab.randomness.secret, lambda link: keep(settings.link_url(link)))
                _echo_moved(lab, (host_port, phone_port), ports)
                serve(lab, settings, links, lambda: announce(lab, settings, links.unused))

    @app.command()
    def link(
        folder: Annotated[Path | None, typer.Option(help="Where the lab is kept.")] = None,
        demo: Annotated[bool, typer.Option(help="The link of the invented lab.")] = False,
    ) -> None:
        """Print the link by which one more browser on this laptop enters the running lab."""
        typer.echo(read_link(_folder(folder, demo=demo) / "link"))

    @app.command()
    def memo(
        table: Annotated[str, typer.Argument(help="The table's id, as in its address.")],
        into: Annotated[Path | None, typer.Argument(help="A .pdf, .html or .txt file.")] = None,
        folder: Annotated[Path | None, typer.Option(help="Where the lab is kept.")] = None,
        demo: Annotated[bool, typer.Option(help="Of the invented lab.")] = False,
    ) -> None:
        """Show the document of a decided table, or write it, while the lab is closed."""
        with open_lab(_folder(folder, demo=demo), name="") as lab:
            at, _ = look_at(lab, table)
            paper = memo_of(lab, at)
        if into is None:
            columns = min(shutil.get_terminal_size((COLUMNS, 24)).columns, COLUMNS)
            typer.echo(as_text(paper, columns=columns))
            return
        write_paper(paper, into)
        typer.echo(f"Written: {into}")

    _add_printing(app)
    _add_copying(app)

    @app.command()
    def version() -> None:
        """Print the version."""
        typer.echo(__version__)

    return app


def write_paper(paper: Paper, into: Path) -> None:
    """Write a paper in the form that the file's ending names.

    Raises:  Unacceptable for another ending; NotWritten where the disk refuses.
    """
    if into.suffix not in FORMS:
        raise Unacceptable(
            f"A paper is not written as '{into.suffix or into.name}'.",
            hint=f"Let the file's name end with {format_list(list(FORMS))}.",
        )
    _write(into, FORMS[into.suffix](paper))


def _write(into: Path, made: bytes) -> None:
    try:
        into.write_bytes(made)
    except OSError as error:
        raise NotWritten(
            f"{into} cannot be written: {error.strerror}.", hint="Name a file in another folder."
        ) from error


def _add_printing(app: typer.Typer) -> None:
    @app.command("print")
    def print_out(
        table: Annotated[str, typer.Argument(help="The table's id, as in its address.")],
        what: Annotated[Prints, typer.Argument(help="Place cards, bowl cards or paper sheets.")],
        into: Annotated[Path | None, typer.Argument(help="A .pdf file.")] = None,
        paper: Annotated[PageSize, typer.Option(help="The size of the page.")] = "a4",
        folder: Annotated[Path | None, typer.Option(help="Where the lab is kept.")] = None,
        demo: Annotated[bool, typer.Option(help="Of the invented lab.")] = False,
    ) -> None:
        """Write what lies on a table, with codes and no names, while the lab is closed."""
        file = into or Path(f"{what}.pdf")
        if file.suffix != ".pdf":
            raise Unacceptable(
                f"A print is not written as '{file.suffix or file.name}'.",
                hint="Let the file's name end with .pdf.",
            )
        with open_lab(_folder(folder, demo=demo), name="") as lab:
            at, _ = look_at(lab, table)
            made = PRINTS[what](lab, at, paper)
        _write(file, made)
        typer.echo(f"Written: {file}")


def _add_copying(app: typer.Typer) -> None:
    @app.command()
    def backup(
        into: Annotated[Path, typer.Argument(help="A folder that is not there yet.")],
        folder: Annotated[Path | None, typer.Option(help="Where the lab is kept.")] = None,
        demo: Annotated[bool, typer.Option(help="Copy the invented lab.")] = False,
    ) -> None:
        """Copy the lab into a new folder, while it is open or closed."""
        tables = back_up(_folder(folder, demo=demo), into)
        typer.echo(f"Copied into {into}: {_tables(tables)}, whole and looked through.")
        typer.echo("The keys are in it: keep it where nobody reads it who may not know them.")

    @app.command("restore")
    def put_back(
        copy: Annotated[Path, typer.Argument(help="A folder that `backup` made.")],
        folder: Annotated[Path | None, typer.Option(help="Where the lab is kept.")] = None,
        demo: Annotated[bool, typer.Option(help="Put the invented lab back.")] = False,
    ) -> None:
        """Put a copy in the place of the lab, while it is closed and no table is open."""
        tables, aside = restore(_folder(folder, demo=demo), copy)
        typer.echo(f"Put back: {_tables(tables)}. Phones send again what they hold.")
        if aside:
            typer.echo(f"What was there lies in {aside}.")


def _tables(count: int) -> str:
    return "1 table" if count == 1 else f"{count} tables"


def _folder(folder: Path | None, *, demo: bool) -> Path:
    if folder is not None:
        return folder
    return default_folder() / "demo" if demo else default_folder()


def _echo_moved(lab: Lab, asked: tuple[int, int], ports: tuple[int, int]) -> None:
    """Print which port is in use by another program, and which one is taken instead."""
    for was, now in zip(asked, ports, strict=True):
        if was != now:
            typer.echo(f"Port {was} is in use, using {now} instead.")
    is_open = any(flight in JOINED[:2] for _, flight in list_tables(lab))
    if asked[1] != ports[1] and is_open:
        typer.echo("Phones that joined before have to scan the code again.")


def announce(lab: Lab, settings: Settings, link: str) -> None:
    """Return in words where the lab is open, with a QR code for the table that waits for phones.

    Args:  link: by which a browser of this laptop enters.
    """
    typer.echo(f"\n{settings.lab_name} is open.\n\n  On this laptop:  {settings.link_url(link)}")
    typer.echo(
        "  (It works once, and this browser is then known. For another: "
        f"{_link_command(settings.folder)}.\n"
        f"  A browser that has entered before opens {settings.host_url})\n"
    )
    snapshot = [(flight, table) for table, flight in list_tables(lab)]
    # A table that was being tasted when the lab was stopped comes before one that is planned.
    waiting = [table for wanted in JOINED for flight, table in snapshot if flight == wanted]
    if waiting:
        url = settings.join_url(view_table(lab, waiting[0].id).invitation)
        typer.echo(f"  For the phones:  {url}\n  ({waiting[0].occasion or 'the newest table'})\n")
        segno.make(url, error="m").terminal(compact=True)
    typer.echo("\nHot water: one person pours. Stop the lab with Ctrl+C; nothing is lost.\n")


def _link_command(folder: Path) -> str:
    if folder == default_folder():
        return "crustbreak link"
    return f"crustbreak link --folder {shlex.quote(str(folder))}"


def print_error(error: CrustbreakError) -> None:
    """Return in words an error in two lines on stderr."""
    typer.echo(f"error: {error.message}", err=True)
    for problem in error.problems:
        typer.echo(f"  {problem}", err=True)
    typer.echo(f"hint: {error.hint}", err=True)
