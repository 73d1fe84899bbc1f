"""Sheets, priors, protocols and contracts from files: those shipped, and the lab's own."""

import tomllib
from collections.abc import Callable, Iterable, Mapping
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path
from types import MappingProxyType
from typing import Any, TypeVar

from crustbreak.core.errors import Problem, Unacceptable
from crustbreak.domain.brewing.protocols import Protocol, read_protocol
from crustbreak.domain.sheets.definition import Sheet, read_sheet
from crustbreak.domain.sheets.priors import Priors, read_priors
from crustbreak.domain.trade.contracts import Contract, read_contract

Folder = Path | Traversable
Definition = TypeVar("Definition", Sheet, Priors, Protocol, Contract)


# Definitions that come with the software.
SHIPPED_DATA: Folder = resources.files("crustbreak") / "data"


class FileDefinitions:
    """What is in `sheets`, `priors`, `protocols` and `contracts` of each folder, read once."""

    def __init__(self, folders: Iterable[Folder]) -> None:
        """Read every `*.toml`.

        Args:    folders: a folder without `sheets` has none, which is no fault.
        Raises:  Unacceptable, for a file that is no sheet or no priors, or one of them that is
                 there twice.
        """
        homes = tuple(folders)
        self._sheets = _read_all(homes, "sheets", read_sheet)
        latest: dict[str, Priors] = {}
        for priors in _read_all(homes, "priors", read_priors).values():
            before = latest.get(priors.sheet)
            if before is None or priors.version > before.version:
                latest[priors.sheet] = priors
        self._priors = MappingProxyType(latest)
        self._protocols = _read_all(homes, "protocols", read_protocol)
        self._contracts = _read_all(homes, "contracts", read_contract)

    def sheets(self) -> Mapping[str, Sheet]:
        """Return sheets by `id/version`."""
        return self._sheets

    def protocols(self) -> Mapping[str, Protocol]:
        """Return protocols by `id/version`."""
        return self._protocols

    def contracts(self) -> Mapping[str, Contract]:
        """Return contracts by `id/version`."""
        return self._contracts

    def priors(self) -> Mapping[str, Priors]:
        """Return the latest priors by the `id/version` of their sheet."""
        return self._priors


def _read_all(
    folders: Iterable[Folder], kind: str, read: Callable[..., Definition]
) -> Mapping[str, Definition]:
    found: dict[str, Definition] = {}
    files: dict[str, Folder] = {}
    for file in _files(folders, kind):
        each = read(_parsed(file), name=file.name)
        if each.ref in found:
            raise _twice(each.ref, files[each.ref], file)
        found[each.ref], files[each.ref] = each, file
    return MappingProxyType(found)


def _files(folders: Iterable[Folder], kind: str) -> Iterable[Folder]:
    for folder in folders:
        home = folder / kind
        if home.is_dir():
            named = (file for file in home.iterdir() if file.name.endswith(".toml"))
            yield from sorted(named, key=lambda file: file.name)


def _parsed(file: Folder) -> Mapping[str, Any]:
    try:
        return tomllib.loads(file.read_text(encoding="utf-8"))
    # Both a broken line and a byte that is no UTF-8 are of this kind.
    except ValueError as error:
        raise _refused(
            f"The definition {file.name} cannot be read.",
            Problem(
                where=file.name,
                rule="the file is TOML in UTF-8",
                found=str(error),
                remedy="Mend the file where the message points.",
            ),
        ) from error


def _twice(ref: str, first: Folder, second: Folder) -> Unacceptable:
    return _refused(
        f"{ref} is defined twice.",
        Problem(
            where=ref,
            rule="one file defines a version",
            found=f"{first} and {second}",
            remedy="Give one another version: what is kept names the version it was made on.",
        ),
    )


def _refused(message: str, problem: Problem) -> Unacceptable:
    return Unacceptable(message, hint=problem.remedy, problems=(problem,))
