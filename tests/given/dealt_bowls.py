"""Tables of bowls with a known truth, drawn: how the rule does in the long run."""

from collections import Counter
from dataclasses import dataclass, replace

import numpy as np

from bowls import table_of
from crustbreak.analysis.dataset import Dataset
from crustbreak.questions.match.evidence import MatchEvidence, match_evidence

# Marks are given on this scale, in halves.
LEAST, MOST, STEP = 0.0, 5.0, 0.5
NAMES = ("Odile", "Anouk", "Bram")
# Many enough that what is drawn by them is as good as exact.
MANY = 400_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """Who tastes, and how.

    own, bowl, private:  standard deviations: of a mark, of a bowl for all, of a taster's own taste
                         of either coffee.
    baseline:            where a blind control lies from the open bowl.
    """

    tasters: int = 1
    bowls: int = 3
    certainty: float = 0.9
    own: float = 0.8
    bowl: float = 0.0
    private: float = 0.0
    baseline: float = 1.0

    def marks(self, gap: float, chance: np.random.Generator, private: np.ndarray) -> np.ndarray:
        """Draw one sitting: tasters by bowls, the compared coffee's last.

        Args:  private: what each taster adds to the difference, the same at every sitting.
        """
        shape = (self.tasters, 2 * self.bowls)
        latent = self.baseline + self.own * chance.standard_normal(shape)
        latent += self.bowl * chance.standard_normal(shape[1])
        latent[:, self.bowls :] += gap + private[:, None]
        return as_marked(latent)

    def tastes(self, chance: np.random.Generator) -> np.ndarray:
        """Draw what each taster adds to the difference; one alone is the measure of it."""
        if self.tasters == 1:
            return np.zeros(1)
        return np.sqrt(2) * self.private * chance.standard_normal(self.tasters)


def as_marked(latent: np.ndarray) -> np.ndarray:
    """Round to the steps of the sheet, and end where it ends."""
    marks: np.ndarray = np.clip(np.round(latent / STEP) * STEP, LEAST, MOST)
    return marks


def gap_for(panel: Panel, difference: float) -> float:
    """Give how far coffees must lie apart that their marks differ by so much in the long run.

    The scale ends at nought, and so a control's marks lie a little too high.
    """
    noise = np.random.default_rng(1).standard_normal(MANY)
    noise *= np.sqrt(panel.own**2 + panel.bowl**2 + 2 * panel.private**2 * (panel.tasters > 1))
    control = as_marked(panel.baseline + noise).mean()
    detectable_difference = np.arange(difference - 0.3, difference + 0.5, 0.01)
    new = [as_marked(panel.baseline + gap + noise).mean() for gap in detectable_difference]
    apart = [abs(each - control - difference) for each in new]
    return float(detectable_difference[int(np.argmin(apart))])


def sitting(panel: Panel, marks: np.ndarray, **more: object) -> Dataset:
    """Make a table of marks."""
    rows = {
        NAMES[nth]: (row[: panel.bowls].tolist(), row[panel.bowls :].tolist())
        for nth, row in enumerate(marks)
    }
    return table_of(rows, way="worse", asked={"certainty": panel.certainty}, **more)


def screenings(panel: Panel, gap: float, *, runs: int, seed: int) -> list[MatchEvidence]:
    """Taste so many tables of one truth, each an answer by itself."""
    chance = np.random.default_rng(seed)
    return [
        match_evidence(sitting(panel, panel.marks(gap, chance, panel.tastes(chance)), seed=nth))
        for nth in range(runs)
    ]


def words(found: list[MatchEvidence]) -> dict[str, float]:
    """Give how often which word was said: same, different, cannot tell."""
    counted = Counter(each.suggestion.split(",")[0] for each in found)
    return {
        short: counted[word] / len(found)
        for short, word in (
            ("same", "same within d"),
            ("different", "different"),
            ("cannot", "cannot tell yet"),
        )
    }


def looks_in_a_row(
    panel: Panel, gap: float, *, ratings: int, chance: np.random.Generator, seed: int
) -> list[MatchEvidence]:
    """Taste one answer until it is settled, at most so often."""
    private = panel.tastes(chance)
    before: tuple[Dataset, ...] = ()
    found: list[MatchEvidence] = []
    for nth in range(1, ratings + 1):
        table = sitting(
            panel,
            panel.marks(gap, chance, private),
            id=f"t{nth}",
            follows=before[0].id if before else "",
            history=before,
            seed=seed,
        )
        found.append(match_evidence(table))
        if found[-1].suggestion != "cannot tell yet":
            break
        before = (replace(table, history=()), *before)
    return found
