"""What its form asks."""

from crustbreak.reports.plan_fields import PlanContext, PlanField, coffee_list

BLANK_FIELD = PlanField(
    name="blank",
    label="Hot water among them",
    about="three blind bowls of it",
    part="measures",
    kind="tick",
)


def twin_fields(_context: PlanContext) -> tuple[PlanField, ...]:
    """Ask for two names, and whether hot water stands among them."""
    return (coffee_list("2, one a line."), BLANK_FIELD)
