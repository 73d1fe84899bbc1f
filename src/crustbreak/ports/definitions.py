"""Definitions that are data: sheets."""

from collections.abc import Mapping
from typing import Protocol

from crustbreak.domain.sheets.definition import Sheet


class Definitions(Protocol):
    """Gives the sheets the lab has."""

    def sheets(self) -> Mapping[str, Sheet]:
        """Give sheets by `id/version`; every version that any mark was made on."""
