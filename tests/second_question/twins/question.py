"""Domain's part: its data and plan defaults."""

from crustbreak.domain.planning.layout.places import PlaceDraft
from crustbreak.domain.question import Question

BOWLS = 3


def single_bowls(coffee_ids: tuple[str, ...], _bowls: int) -> tuple[PlaceDraft, ...]:
    """Give each of three bowls of each coffee a code of its own."""
    return tuple(
        PlaceDraft(coffee_id=coffee_id, cups=1) for coffee_id in coffee_ids for _ in range(BOWLS)
    )


TWINS = Question(
    id="twins",
    asks="Are these two one coffee?",
    sheet="distance/1",
    least_coffees=2,
    most_coffees=2,
    cut_off_title="Largest distance that still counts as one",
    cut_off=1.0,
    verdicts=("one", "two", "open"),
    each_coffee=False,
    document="Twin note",
    places=single_bowls,
)
