"""The lab as the services see it: every port, in one hand."""

from collections.abc import Mapping
from dataclasses import dataclass

from crustbreak.core.errors import NotThere
from crustbreak.domain.sheets.definition import Sheet
from crustbreak.domain.sheets.priors import Priors
from crustbreak.ports.clock import Clock, Dice
from crustbreak.ports.definitions import Definitions
from crustbreak.ports.live_state import Cache, GuessLimit, Notifier, Presence
from crustbreak.ports.question_plugin import Kit
from crustbreak.ports.repository import Books, KeyBox


@dataclass(frozen=True, slots=True, kw_only=True)
class Lab:
    """Everything a service may use.

    name:         what the lab is called on its papers.
    incarnation:  the name of its present life: another after a restore, so that devices know to
                  send again what they hold.
    """

    name: str
    incarnation: str
    books: Books
    keys: KeyBox
    clock: Clock
    dice: Dice
    definitions: Definitions
    kits: Mapping[str, Kit]
    presence: Presence
    cache: Cache
    guesses: GuessLimit
    notifier: Notifier

    def kit(self, question_id: str) -> Kit:
        """Give a question's kit, or say which questions there are."""
        if question_id in self.kits:
            return self.kits[question_id]
        raise NotThere(
            f"There is no question '{question_id}'.",
            hint=f"Ask one of: {', '.join(self.kits)}.",
        )

    def sheet(self, ref: str) -> Sheet:
        """Give a sheet by `id/version`, or say which there are."""
        sheets = self.definitions.sheets()
        if ref in sheets:
            return sheets[ref]
        raise NotThere(f"There is no sheet '{ref}'.", hint=f"Known: {', '.join(sorted(sheets))}.")

    def priors(self, ref: str) -> Priors | None:
        """Give what is assumed of a sheet's points, or None where nobody has said."""
        return self.definitions.priors().get(ref)
