"""What a table can tell, by the lab's own error."""

from dataclasses import replace

from crustbreak.analysis.detectable_difference import (
    DetectableDifference,
    RatingError,
    detectable_difference,
    rating_error,
)
from crustbreak.analysis.forecast_input import ForecastInput
from crustbreak.domain.planning.plan_request import PlanDraft, check_cut_off
from crustbreak.domain.sheets.priors import Priors
from crustbreak.ports.lab import Lab
from crustbreak.services.planning.bowl_counts import bowls_of
from crustbreak.services.planning.follow_up import stage_number
from crustbreak.services.results.dataset import history_version, lab_history

# As many tasters as a small lab seats; each more tells less.
PANELS = (1, 2, 3, 4, 6)


# Where nobody has said yet how many coffees there are.
USUAL_COFFEES = 5


def detectable_texts(
    lab: Lab, question_id: str, *, coffees: int = USUAL_COFFEES, bowls: int | None = None
) -> tuple[DetectableDifference, ...]:
    """Return how far two coffees must lie apart on a table of this question, by its tasters.

    From the lab's own error as its tables show it. Nothing where nothing is assumed of the
    sheet's points.

    Args:  coffees: on the table. bowls: of each; the sheet's own where not given.
    """
    question = lab.plugin(question_id).question
    priors = lab.priors(question.sheet)
    if priors is None:
        return ()
    version, cups = history_version(lab, question.sheet), bowls or lab.sheet(question.sheet).cups
    about = f"gaps on {question.sheet}, {cups} bowls, {coffees} coffees"
    told: tuple[DetectableDifference, ...] | None = lab.cache.recall(about, version)
    if told is None:
        error = _error(lab, question.sheet, priors, version)
        told = tuple(
            detectable_difference(error, tasters=tasters, cups=cups, coffees=max(coffees, 2))
            for tasters in PANELS
        )
        lab.cache.remember(about, version, told)
    return told


def _error(lab: Lab, sheet: str, priors: Priors, version: tuple[object, ...]) -> RatingError:
    about = f"error on {sheet}"
    error: RatingError | None = lab.cache.recall(about, version)
    if error is None:
        error = rating_error(lab_history(lab, sheet), priors)
        lab.cache.remember(about, version, error)
    return error


def forecast_texts(lab: Lab, question_id: str, draft: PlanDraft) -> tuple[str, ...]:
    """Return beforehand what a draft's table can tell, for a question that says it in sentences.

    Nothing while the figure that decides is none of the sheet's, or nothing is assumed of it.
    """
    plugin = lab.plugin(question_id)
    sheet = lab.sheet(plugin.question.sheet)
    if plugin.forecast is None or draft.cut_off is None or check_cut_off(draft.cut_off, sheet):
        return ()
    asked = ForecastInput(
        sheet=sheet,
        bowls=bowls_of(lab, question_id, draft),
        tasters=max(1, len(draft.tasters)),
        cut_off=draft.cut_off,
        asked=plugin.question.asked_by(draft).keep(),
        look=stage_number(lab, draft.follows) + 1,
        priors=lab.priors(sheet.ref),
    )
    about, version = f"foretold of {question_id}", (asked, history_version(lab, sheet.ref))
    told: tuple[str, ...] | None = lab.cache.recall(about, version)
    if told is None:
        told = plugin.forecast(replace(asked, history=lab_history(lab, sheet.ref)))
        lab.cache.remember(about, version, told)
    return told
