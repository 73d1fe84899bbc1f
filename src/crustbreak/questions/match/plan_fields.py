"""What the plan form asks of a table of the approved coffee."""

from crustbreak.questions.match.definition import BOWLS, CERTAINTIES, ROLES, fewest_bowls
from crustbreak.reports.plan_fields import PlanContext, PlanField, bowls_choice

ABOUT = (
    "It stands there open, and blind among the others.",
    "The arrival, the new batch, the blend as it is to be.",
)


def match_fields(context: PlanContext) -> tuple[PlanField, ...]:
    """Return the fields of its own, in the order in which they are asked."""
    coffees = tuple(
        PlanField(
            name=f"coffee_{nth}",
            label=title,
            about=about,
            part="coffees",
            is_required=True,
            is_first=nth == 1,
            is_fixed=context.follows,
        )
        for nth, (title, about) in enumerate(zip(ROLES.titles, ABOUT, strict=True), start=1)
    )
    certainty = PlanField(
        name="certainty",
        label="How sure",
        about='The word "different" is false at most so rarely where nothing differs, and the word '
        '"same" of a coffee just beyond d, however many more bowls follow.',
        part="answer",
        kind="choice",
        size="short",
        options=tuple(
            (f"{each * 100:g}", f"{each * 100:g} in 100, {fewest_bowls(each)} bowls of each")
            for each in CERTAINTIES
        ),
        is_fixed=context.follows,
    )
    bowls = bowls_choice(
        "More of them find smaller differences. What they can tell is said below.",
        f"the fewest that can be so sure: {context.in_time}",
        BOWLS,
    )
    return (*coffees, certainty, bowls)
