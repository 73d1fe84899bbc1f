"""How many bowls and codes a table takes, as asked for or as there is time to taste."""

from crustbreak.domain.planning.plan_request import PlanDraft
from crustbreak.domain.planning.tasting_time import bowls_in_time
from crustbreak.domain.question import Question
from crustbreak.ports.lab import Lab

# The dry and the wet grounds are smelled; no spoon goes into a bowl.
SMELLED = "smell"


def bowls_of(lab: Lab, question_id: str, draft: PlanDraft) -> int:
    """Return how many bowls of each coffee a draft asks for, or how many there is time to taste."""
    question = lab.plugin(question_id).question
    if question.least_bowls:
        return draft.bowls or question.least_bowls(certainty_of(question, draft))
    if not question.bowls:
        return lab.sheet(question.sheet).cups
    # However many stand there, time is what one taster needs.
    codes = draft.share or codes_of(lab, question_id, draft)
    return draft.bowls or bowls_in_time(codes, question.bowls, rounds=rounds_of(lab, question_id))


def certainty_of(question: Question, draft: PlanDraft) -> float:
    """Return how sure a draft's answer is to be; the usual where it says no such figure.

    Not for a question that does not ask for it.
    """
    asked = draft.certainty
    return asked if asked in question.certainties else question.certainties[0]


def cups_of(lab: Lab, question_id: str, draft: PlanDraft) -> int:
    """Return how many bowls a draft puts under a code."""
    is_single = lab.plugin(question_id).question.single
    return 1 if is_single else bowls_of(lab, question_id, draft)


def codes_of(lab: Lab, question_id: str, draft: PlanDraft) -> int:
    """Return how many codes a draft asks for, controls and double among them."""
    question = lab.plugin(question_id).question
    others = (*draft.controls, *draft.coffees[: draft.duplicate]) if question.doubles else ()
    bowls = bowls_of(lab, question_id, draft) if question.single else 1
    return len(question.places((*draft.coffees, *others), bowls))


def codes_each(question: Question, bowls: int) -> int:
    """Return under how many codes the coffee that stands most often stands; 0 for one, or two."""
    return bowls + question.opens if question.single else 0


def rounds_of(lab: Lab, question_id: str) -> int:
    """Return in how many rounds the question's sheet is tasted."""
    sheet = lab.sheet(lab.plugin(question_id).question.sheet)
    return sum(each.id != SMELLED for each in sheet.rounds)
