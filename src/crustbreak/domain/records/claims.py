"""What is known of a delivery that may be claimed for."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """A delivery, its contract's window, and what there is to show.

    discharged, cleared:  calendar days at the place of the delivery; None where nobody said.
    contract:   `id/version` of one of the dated examples, or `own`.
    own_days, own_from:  of the lab's own contract: its days, and what they run from.
    clause:     where the contract says so.
    said:       item of evidence to what was written of it; what is not there is missing.
    by:         who wrote it down.
    """

    discharged: date | None = None
    cleared: date | None = None
    contract: str = ""
    own_days: int | None = None
    own_from: str = "discharge"
    clause: str = ""
    said: Mapping[str, str] = field(default_factory=dict)
    by: str = ""
