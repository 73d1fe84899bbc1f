"""Is this the coffee we approved?"""

from math import comb

from crustbreak.domain.planning.layout.places import PlaceDraft
from crustbreak.domain.question import OtherChecks, Question

# Bowls of the control, and as many of what is compared with it. Three tell what a person alone can
# taste in ten minutes; six of each and the open one are thirteen. Common practice, no source.
BOWLS = (6, 5, 4, 3)
CERTAINTIES = (0.9, 0.95, 0.99)


def a_code_a_bowl(coffee_ids: tuple[str, ...], bowls: int) -> tuple[PlaceDraft, ...]:
    """Return each of so many bowls of each coffee a code of its own."""
    return tuple(
        PlaceDraft(coffee_id=coffee_id, cups=1) for coffee_id in coffee_ids for _ in range(bowls)
    )


def level_of(certainty: float, look: int) -> float:
    """Return the chance of a false word that a look may take, 0 to 1.

    Half of what is left each time: a half, a quarter, an eighth of the whole. However many looks
    follow each other, all of them together stay under it.

    Args:  certainty: 0 to 1. look: from 1.

    >>> level_of(0.9, 1), level_of(0.9, 2)
    (0.05, 0.025)
    """
    return round((1 - certainty) / 2.0**look, 12)


def by_luck(bowls: int) -> int:
    """Return in how many ways so many bowls of each can stand: one of them parts all by luck.

    >>> by_luck(3), by_luck(4)
    (20, 70)
    """
    return comb(2 * bowls, bowls)


def fewest_bowls(certainty: float) -> int:
    """Return the fewest bowls of each coffee of which the screening can say that they differ.

    With fewer, even bowls that part without a slip could have done so by luck too often.

    >>> [fewest_bowls(certainty) for certainty in CERTAINTIES]
    [3, 4, 5]
    """
    return next(
        bowls for bowls in sorted(BOWLS) if 1 / by_luck(bowls) <= level_of(certainty, look=1)
    )


MATCH = Question(
    id="match",
    asks="Is this the coffee we approved?",
    sheet="difference/1",
    least_coffees=2,
    most_coffees=2,
    cut_off_title="Largest difference that still counts as the same, d",
    # Between "barely" and "slightly" on the sheet. Our judgement.
    cut_off=1.5,
    verdicts=(
        "same within d",
        "different, better",
        "different, worse",
        "different",
        "cannot tell yet",
    ),
    each_coffee=False,
    document="Approval note",
    places=a_code_a_bowl,
    bowls=BOWLS,
    single=True,
    opens=True,
    titles=("Approved: the control", "To be compared with it"),
    certainties=CERTAINTIES,
    least_bowls=fewest_bowls,
    adds=True,
    # Scores of offers are given on the ten-line sheet.
    other_checks=OtherChecks(score_sheet="ten_line/1"),
    next_words=("accept", "ask for an allowance", "ask for a replacement", "taste again"),
)
