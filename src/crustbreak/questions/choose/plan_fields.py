"""What the plan form asks of a table of offers."""

from crustbreak.questions.choose.definition import BOWLS, CHOOSE, STAGES
from crustbreak.reports.plan_fields import (
    FULLY_RANDOM,
    SHARE,
    PlanContext,
    PlanField,
    bowls_choice,
    coffee_list,
)

CONTROL = PlanField(
    name="control",
    label="Control",
    about="A coffee that you know well, in frozen portions of one roast, under the same name on "
    "every table: it holds the scale from table to table, and nobody decides about it. May stay "
    "empty. Before the portions run out let the next one stand beside it, each on a line of its "
    "own, at six tables.",
    part="measures",
    kind="lines",
    size="wide",
)

DUPLICATE = PlanField(
    name="double",
    label="One coffee stands twice",
    about="under two codes, drawn by chance: it shows how alike the same coffee is tasted",
    part="measures",
    kind="tick",
)


def choice_fields(context: PlanContext) -> tuple[PlanField, ...]:
    """Return the fields of its own, in the order in which they are asked."""
    how_many = (
        f"{CHOOSE.least_coffees} to {CHOOSE.most_coffees}, one a line, typed or pasted; "
        f"up to {STAGES.most_offers} in two stages."
    )
    coffees = coffee_list(
        how_many,
        "Prices, lots and classes",
        f"A price of a kilo as landed, in {context.currency}, and kilos may follow, after a tab or "
        "a semicolon: Pellamy Upper; 7.25; 600. Tasters see codes only, and never a price.",
        f"A name of the last {context.lot_days} days is the same lot: give another lot another "
        "name.",
        "A line of three dashes begins the next class: light and clean first, washed before "
        "naturals, decaf and suspect cups last; at random within each.",
    )
    in_time = f": {context.in_time}" if context.is_begun else ""
    bowls = bowls_choice(
        "Three rounds have to be tasted in about 20 minutes. Of fewer than "
        f"{context.cups} each counts for more, so that totals stay on one scale; fewer tell less "
        "of evenness and bad bowls.",
        f"as many as there is time for{in_time}",
        BOWLS,
    )
    return (coffees, CONTROL, DUPLICATE, bowls, SHARE, FULLY_RANDOM)
