"""What the page of a screening says and shows."""

from crustbreak.analysis.screening import Ranking
from crustbreak.core.units import points
from crustbreak.reports.blocks import Block
from crustbreak.reports.charts.intervals import Range, range_chart
from crustbreak.reports.text import format_in_100, format_tenth

# The picture shows the front; all stand in the table.
MOST_DRAWN = 10


def ranking_blocks(ranking: Ranking, *, cut_off: float) -> tuple[Block, ...]:
    """Draw the first coffees of a ranking on a common line."""
    rows = [
        Range(
            name=each.coffee.name,
            small="no sheet complete" if each.sheets is None else f"sheets {points(each.sheets)}",
            mean=each.total.mean,
            low=each.total.low,
            high=each.total.high,
            inner_low=each.total.inner_low,
            inner_high=each.total.inner_high,
            over=each.over,
        )
        for each in ranking.coffees[:MOST_DRAWN]
    ]
    title = "The first ones" if len(ranking.coffees) > MOST_DRAWN else "Each coffee"
    return (range_chart(title, rows, {"cut_off": cut_off}),)


def drop_of_best_text(ranking: Ranking) -> str:
    """Return in words by how much those that came out best will drop when they are tasted again."""
    if ranking.sheets is None:
        return ""
    best = "The first one" if ranking.best == 1 else f"The first {ranking.best}"
    average, whose = ("has", "its") if ranking.best == 1 else ("average", "their")
    reasons = (
        (ranking.sheets - ranking.again - ranking.bowls, "what comes out best was also lucky"),
        (ranking.bowls, "bad bowls may yet come"),
    )
    less = " and ".join(
        f"{lost:.1f} less because {reason}" for lost, reason in reasons if lost >= 0.05
    )
    return (
        f"{best} {average} {format_tenth(ranking.sheets)} on {whose} sheets. Tasted again by the "
        f"same "
        f"people, expect {format_tenth(ranking.again)}{f': {less}' if less else ''}."
    )


def held_text(ranking: Ranking, taken: int) -> str:
    """Return in words how likely it is that the best are among those taken over."""
    best = "the best of these is" if ranking.best == 1 else f"the best {ranking.best} of these are"
    first = "the first one" if taken == 1 else f"among the first {taken}"
    return f"With {format_in_100(ranking.held[taken - 1])} {best} {first}."
