"""Which of these is worth buying?"""

from crustbreak.domain.planning.layout.places import PlaceDraft
from crustbreak.domain.question import Question

# Five bowls under one code: the protocol's unit for evenness and cleanness. Source: [S1]. Three or
# one where more coffees are to be tasted while they are warm: common practice, no source.
BOWLS = (5, 3, 1)


def one_code_a_coffee(coffee_ids: tuple[str, ...], bowls: int) -> tuple[PlaceDraft, ...]:
    """Put so many bowls of each coffee under a code of its own."""
    return tuple(PlaceDraft(coffee_id=coffee_id, cups=bowls) for coffee_id in coffee_ids)


CHOOSE = Question(
    id="choose",
    asks="Which of these is worth buying?",
    sheet="ten_line/1",
    least_coffees=3,
    most_coffees=14,
    cut_off_title="Cut-off, points",
    # The lower bound of the specialty classes. Source: [S1].
    cut_off=80.0,
    verdicts=("buy", "look again", "decline"),
    each_coffee=True,
    document="Decision memo",
    places=one_code_a_coffee,
    doubles=True,
    bowls=BOWLS,
    # A small lab's flood of offers has some forty: common practice, no source.
    most_offers=48,
    stage_words=("look again", "decline"),
    keeps_lots=True,
)
