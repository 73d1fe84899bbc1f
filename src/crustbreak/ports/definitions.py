"""Definitions that are data: sheets, what is assumed of their points, and contracts."""

from collections.abc import Mapping
from typing import Protocol

from crustbreak.domain.brewing import protocols
from crustbreak.domain.sheets.definition import Sheet
from crustbreak.domain.sheets.priors import Priors
from crustbreak.domain.trade.contracts import Contract


class Definitions(Protocol):
    """Gives the sheets the lab has, and the priors of some."""

    def sheets(self) -> Mapping[str, Sheet]:
        """Return sheets by `id/version`; every version that any mark was made on."""

    def protocols(self) -> Mapping[str, protocols.Protocol]:
        """Return protocols by `id/version`; every version that any table was set by."""

    def contracts(self) -> Mapping[str, Contract]:
        """Return contracts by `id/version`: dated examples, and the lab's own files."""

    def priors(self) -> Mapping[str, Priors]:
        """Return the latest priors by the `id/version` of their sheet."""
