"""What a table can tell, by the house's own error."""

from crustbreak.analysis.detectable import Gaps, LookError, gaps, look_error
from crustbreak.ports.lab import Lab
from crustbreak.services.framing import house_history

# As many tasters as a small lab seats; each more tells less.
PANELS = (1, 2, 3, 4, 6)


# Where nobody has said yet how many coffees there are.
USUAL_COFFEES = 5


def what_it_can_tell(
    lab: Lab, question_id: str, *, coffees: int = USUAL_COFFEES, bowls: int | None = None
) -> tuple[Gaps, ...]:
    """Give how far two coffees must lie apart on a table of this question, by its tasters.

    From the house's own error as its tables show it. Nothing where nothing is assumed of the
    sheet's points.

    Args:  coffees: on the table. bowls: of each; the sheet's own where not given.
    """
    question = lab.kit(question_id).question
    priors = lab.priors(question.sheet)
    if priors is None:
        return ()
    history = house_history(lab, question.sheet)
    about = f"error on {question.sheet}"
    error: LookError | None = lab.hearing.recall(about, history)
    if error is None:
        error = look_error(history, priors)
        lab.hearing.remember(about, history, error)
    cups = bowls or lab.sheet(question.sheet).cups
    return tuple(
        gaps(error, tasters=tasters, cups=cups, coffees=max(coffees, 2)) for tasters in PANELS
    )
