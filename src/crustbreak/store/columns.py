"""Kinds of column that are not alike everywhere: a text, a moment, a piece of JSON."""

import json
from datetime import datetime
from typing import Any

from sqlalchemy import Dialect, String, Text
from sqlalchemy.types import TypeDecorator

from crustbreak.core.units import utc_moment, utc_text

# 2030-01-31T09:30:00.000Z
MOMENT_LENGTH = 24


class Words(TypeDecorator[str]):
    """Text.

    JSON can carry half of a surrogate pair, which is no character and which no database takes.
    It is written out as `\\ud800`: what came with it is kept, and nobody is held up by it.
    """

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: str | None, _dialect: Dialect) -> str | None:
        """Write a text."""
        if value is None or value.isascii():
            return value
        return value.encode("utf-8", "backslashreplace").decode("utf-8")


class Utc(TypeDecorator[datetime]):
    """A moment, kept as the text of `utc_text`, which sorts as time does; read as aware UTC."""

    impl = String(MOMENT_LENGTH)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, _dialect: Dialect) -> str | None:
        """Write a moment; one without a zone is a fault of the caller."""
        return None if value is None else utc_text(value)

    def process_result_value(self, value: str | None, _dialect: Dialect) -> datetime | None:
        """Read a moment."""
        return None if value is None else utc_moment(value)


class Json(TypeDecorator[Any]):
    """JSON, kept as ASCII text: every sign of a taster's note passes, and comes back."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Any, _dialect: Dialect) -> str:
        """Write a value; None is a value, too."""
        return json.dumps(value)

    def process_result_value(self, value: str | None, _dialect: Dialect) -> Any:
        """Read a value."""
        return None if value is None else json.loads(value)
