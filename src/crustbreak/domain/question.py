"""A question is data and a few functions; this is the data and the plan defaults."""

from collections.abc import Callable
from dataclasses import dataclass

from crustbreak.domain.planning.layout.places import PlaceDraft


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherChecks:
    """Green measurements, an earlier score and a claim are kept beside the table.

    score_sheet:  sheet and version of the scores that an earlier score is compared with.
    """

    score_sheet: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What a table is asked.

    id:                 one word, used in addresses and records.
    asks:               the question as a sentence.
    sheet:              sheet and version on which it is tasted.
    least_coffees, most_coffees:  how many coffees a table of it takes.
    cut_off_title:      what the figure fixed before the pour is, with its unit.
    cut_off:            the figure offered until the lab has one of its own.
    verdicts:           the words a person can decide by.
    each_coffee:        decided coffee by coffee, and called code by code; else as one.
    document:           what its paper is called.
    most_offers:        how many it takes in several flights, a screening; 0 where it has none.
    duplicates:            one of the coffees may stand under a second code, to see how alike it is
                        tasted.
    places:             coffee ids, and how many bowls a code, to the bowls that stand for them.
    stage_words:        after a screening at many, of what goes on to the second and what does not.
    bowls:              how many bowls a code can be chosen, the most first; none where the
                        question says it itself.
    single:             each of those bowls has a code of its own.
    opens:              the first coffee also stands open, in a bowl that is held against and not
                        marked.
    titles:             what each coffee is to the question, where they are asked for one by one.
    certainties:        how sure the answer can be asked to be, the usual one first; none where
                        that is not asked.
    least_bowls:        certainty to the fewest bowls of each that can give it.
    adds:               a further table can add to the answer of an earlier one.
    keeps_lots:         what earlier tables found of a coffee of the same name counts as well.
    next_words:         what can follow a verdict, as examples.
    other_checks:       what is kept beside the table; None where there is nothing.
    """

    id: str
    asks: str
    sheet: str
    least_coffees: int
    most_coffees: int
    cut_off_title: str
    cut_off: float
    verdicts: tuple[str, ...]
    each_coffee: bool
    document: str
    places: Callable[[tuple[str, ...], int], tuple[PlaceDraft, ...]]
    doubles: bool = False
    bowls: tuple[int, ...] = ()
    most_offers: int = 0
    stage_words: tuple[str, str] = ("", "")
    single: bool = False
    opens: bool = False
    titles: tuple[str, ...] = ()
    certainties: tuple[float, ...] = ()
    least_bowls: Callable[[float], int] | None = None
    adds: bool = False
    keeps_lots: bool = False
    other_checks: OtherChecks | None = None
    next_words: tuple[str, ...] = ()

    @property
    def cut_off_name(self) -> str:
        """What the figure that decides is called, without its unit."""
        return self.cut_off_title.split(",", maxsplit=1)[0]
