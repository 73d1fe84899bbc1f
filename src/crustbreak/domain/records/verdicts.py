"""What a person decided."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """A decision and the evidence it was taken on, kept as it was that day.

    record:  canonical JSON: question, plan, sheet, evidence, words, reason, engine version.
    digest:  SHA-256 of the record, hex.
    """

    table_id: str
    decided_at: datetime
    decided_by: str
    record: str
    digest: str
