"""Sheets from files: those that are shipped, and the house's own."""

import tomllib
from collections.abc import Iterable, Mapping
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path
from types import MappingProxyType
from typing import Any

from crustbreak.domain.sheets.definition import Sheet, read_sheet
from crustbreak.footing.errors import Problem, Unacceptable

Folder = Path | Traversable


# Definitions that come with the software.
SHIPPED_DATA: Folder = resources.files("crustbreak") / "data"


class FileDefinitions:
    """The sheets in the `sheets` folder of each folder given, read once."""

    def __init__(self, folders: Iterable[Folder]) -> None:
        """Read every `*.toml`.

        Args:    folders: a folder without `sheets` has none, which is no fault.
        Raises:  Unacceptable, for a file that is no sheet, or a sheet that is there twice.
        """
        sheets: dict[str, Sheet] = {}
        files: dict[str, Folder] = {}
        for file in _files(folders):
            sheet = read_sheet(_parsed(file), name=file.name)
            if sheet.ref in sheets:
                raise _twice(sheet.ref, files[sheet.ref], file)
            sheets[sheet.ref], files[sheet.ref] = sheet, file
        self._sheets = MappingProxyType(sheets)

    def sheets(self) -> Mapping[str, Sheet]:
        """Give sheets by `id/version`."""
        return self._sheets


def _files(folders: Iterable[Folder]) -> Iterable[Folder]:
    for folder in folders:
        home = folder / "sheets"
        if home.is_dir():
            named = (file for file in home.iterdir() if file.name.endswith(".toml"))
            yield from sorted(named, key=lambda file: file.name)


def _parsed(file: Folder) -> Mapping[str, Any]:
    try:
        return tomllib.loads(file.read_text(encoding="utf-8"))
    # Both a broken line and a byte that is no UTF-8 are of this kind.
    except ValueError as error:
        raise _refused(
            f"The sheet {file.name} cannot be read.",
            Problem(
                where=file.name,
                rule="the file is TOML in UTF-8",
                found=str(error),
                remedy="Mend the file where the message points.",
            ),
        ) from error


def _twice(ref: str, first: Folder, second: Folder) -> Unacceptable:
    return _refused(
        f"The sheet {ref} is defined twice.",
        Problem(
            where=ref,
            rule="one file defines a version of a sheet",
            found=f"{first} and {second}",
            remedy="Give one of them another version: a mark names the version it was made on.",
        ),
    )


def _refused(message: str, problem: Problem) -> Unacceptable:
    return Unacceptable(message, hint=problem.remedy, problems=(problem,))
