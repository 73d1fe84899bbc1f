"""Documents of any kind, on a connection."""

from datetime import datetime
from typing import Any, TypeVar

from sqlalchemy import Connection, Select, func, select

from crustbreak.ports.documents import DocumentKind
from crustbreak.store.schema import documents

T = TypeVar("T")


class DocumentQueries:
    """What can be asked of documents."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def document(
        self, kind: DocumentKind[T], of: str = "", *, until: datetime | None = None
    ) -> T | None:
        """Return the last document of a kind about something, or None."""
        query = _of(kind, of, until).order_by(documents.c.arrival.desc()).limit(1)
        row = self._connection.execute(query).first()
        return None if row is None else kind.read(row.data)

    def documents(
        self, kind: DocumentKind[T], of: str = "", *, until: datetime | None = None
    ) -> tuple[T, ...]:
        """Return every document of a kind, the first first; about anything where not named."""
        query = _of(kind, of, until).order_by(documents.c.arrival)
        return tuple(kind.read(row.data) for row in self._connection.execute(query))

    def documents_version(self, *kinds: DocumentKind[Any]) -> int:
        """Return a number that rises with every document of these kinds."""
        of_kinds = documents.c.subject.in_([kind.subject for kind in kinds])
        return self._connection.scalar(select(func.max(documents.c.arrival)).where(of_kinds)) or 0


def _of(kind: DocumentKind[Any], of: str, until: datetime | None) -> Select[Any]:
    query = select(documents.c.data).where(documents.c.subject == kind.subject)
    if of:
        query = query.where(documents.c.id == of)
    return query if until is None else query.where(documents.c.since <= until)
