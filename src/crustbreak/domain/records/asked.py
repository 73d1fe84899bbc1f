"""What a table is asked beside the figure that decides, in the words of its question."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from typing import Any, ClassVar, Self

from crustbreak.core.errors import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Nothing more; a question that asks for more has a subclass of its own.

    It is fixed before the pour and kept as one JSON value, with the version of its fields.
    """

    VERSION: ClassVar[int] = 1

    @classmethod
    def read(cls, _typed: Mapping[str, str]) -> Self:
        """Read the fields of the plan form; what was left empty is as usual."""
        return cls()

    @classmethod
    def restore(cls, kept: Mapping[str, Any]) -> Self:
        """Read what was kept; what an earlier version did not ask is as it was then."""
        known = {each.name for each in fields(cls)}
        return cls(**{name: value for name, value in kept.items() if name in known})

    def keep(self) -> dict[str, Any]:
        """Return its fields and their version, as JSON."""
        return {"version": self.VERSION, **asdict(self)}

    def typed(self) -> dict[str, str]:
        """Return the fields of the plan form that ask for the same again."""
        return {}

    def check(self) -> tuple[Problem, ...]:
        """Name what cannot be asked."""
        return ()

    def text(self) -> str:
        """Return in words what is asked; empty where it is nothing."""
        return ""


NOTHING_ASKED = Asked()
