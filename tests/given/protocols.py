"""A protocol of a lab that does not exist."""

from dataclasses import replace
from typing import Any

from crustbreak.domain.brewing.protocols import Protocol

OURS = Protocol(
    id="own-1",
    version=1,
    title="Ours",
    dose_g=9.3,
    water_ml=150,
    steep_s=240,
    pour_c=93,
    stirs=3,
    source="this house's own",
)


def own_protocol(**changed: Any) -> Protocol:
    """Give it with other figures."""
    return replace(OURS, **changed)
