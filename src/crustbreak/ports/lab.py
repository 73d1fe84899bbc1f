"""The lab as the services see it: every port, in one hand."""

from collections.abc import Mapping
from dataclasses import dataclass

from crustbreak.core.errors import NotThere
from crustbreak.domain.sheets.definition import Sheet
from crustbreak.domain.sheets.priors import Priors
from crustbreak.ports.clock import Clock, Randomness
from crustbreak.ports.definitions import Definitions
from crustbreak.ports.live_state import Cache, GuessLimit, Notifier, Presence
from crustbreak.ports.question_plugin import QuestionPlugin
from crustbreak.ports.repository import KeyStore, Repository


@dataclass(frozen=True, slots=True, kw_only=True)
class Lab:
    """Everything a service may use.

    name:         what the lab is called on its papers.
    incarnation:  the name of its present life: another after a restore, so that devices know to
                  send again what they hold.
    """

    name: str
    incarnation: str
    repository: Repository
    keys: KeyStore
    clock: Clock
    randomness: Randomness
    definitions: Definitions
    plugins: Mapping[str, QuestionPlugin]
    presence: Presence
    cache: Cache
    guesses: GuessLimit
    notifier: Notifier

    def plugin(self, question_id: str) -> QuestionPlugin:
        """Return a question's plugin, or say which questions there are."""
        if question_id in self.plugins:
            return self.plugins[question_id]
        raise NotThere(
            f"There is no question '{question_id}'.",
            hint=f"Ask one of: {', '.join(self.plugins)}.",
        )

    def sheet(self, ref: str) -> Sheet:
        """Return a sheet by `id/version`, or say which there are."""
        sheets = self.definitions.sheets()
        if ref in sheets:
            return sheets[ref]
        raise NotThere(f"There is no sheet '{ref}'.", hint=f"Known: {', '.join(sorted(sheets))}.")

    def priors(self, ref: str) -> Priors | None:
        """Return what is assumed of a sheet's points, or None where nobody has said."""
        return self.definitions.priors().get(ref)
