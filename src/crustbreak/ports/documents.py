"""Documents: what is written down, and superseded by a later one; a kind costs one line here."""

from dataclasses import dataclass
from functools import cache
from typing import Any, Generic, TypeVar, cast

from pydantic import TypeAdapter

from crustbreak.domain.brewing.protocols import Protocol
from crustbreak.domain.records.bowl_readings import MeasuredBowl
from crustbreak.domain.records.claims import Claim
from crustbreak.domain.records.lab_settings import LabSettings
from crustbreak.domain.records.physicals import Physicals

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class DocumentKind(Generic[T]):
    """A kind of document, read back through the type of its record.

    subject:  its name in the store, for good.
    record:   a dataclass; what an earlier version did not ask is as the default says.
    """

    subject: str
    record: type[T]

    def write(self, document: T) -> Any:
        """Return a document as JSON data."""
        return _adapter(cast("Any", self.record)).dump_python(document, mode="json")

    def read(self, data: Any) -> T:
        """Return the document of JSON data.

        Raises:  ValidationError for data of another shape.
        """
        document: T = _adapter(cast("Any", self.record)).validate_python(data)
        return document


@cache
def _adapter(record: Any) -> TypeAdapter[Any]:
    return TypeAdapter(record)


# Of the lab.
LAB_SETTINGS = DocumentKind("lab settings", LabSettings)
MEASURED_BOWLS = DocumentKind("measured bowl", MeasuredBowl)
OWN_PROTOCOLS = DocumentKind("protocol", Protocol)
# Of a table.
PHYSICALS = DocumentKind("physicals", Physicals)
CLAIMS = DocumentKind("claim", Claim)
