"""What a table can tell, by the house's own error."""

from crustbreak.analysis.detectable import Gaps, gaps, look_error
from crustbreak.ports.lab import Lab
from crustbreak.services.framing import house_history

# As many tasters as a small lab seats; each more tells less.
PANELS = (1, 2, 3, 4, 6)


def what_it_can_tell(lab: Lab, question_id: str) -> tuple[Gaps, ...]:
    """Give how far two coffees must lie apart on a table of this question, by its tasters.

    From the house's own error as its tables show it. Nothing where nothing is assumed of the
    sheet's points.
    """
    question = lab.kit(question_id).question
    priors = lab.priors(question.sheet)
    if priors is None:
        return ()
    history = house_history(lab, question.sheet)
    about = f"what {question_id} can tell"
    told: tuple[Gaps, ...] | None = lab.hearing.recall(about, history)
    if told is None:
        error, cups = look_error(history, priors), lab.sheet(question.sheet).cups
        told = tuple(
            gaps(error, tasters=tasters, cups=cups, coffees=max(question.most_coffees, 2))
            for tasters in PANELS
        )
        lab.hearing.remember(about, history, told)
    return told
