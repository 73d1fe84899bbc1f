"""How many bowls and codes a table takes, as asked for or as there is time to taste."""

from crustbreak.domain.planning.plan_request import PlanDraft
from crustbreak.domain.planning.tasting_time import bowls_in_time
from crustbreak.ports.lab import Lab

# The dry and the wet grounds are smelled; no spoon goes into a bowl.
SMELLED = "smell"


def bowls_of(lab: Lab, question_id: str, draft: PlanDraft) -> int:
    """Return how many bowls of each coffee a draft asks for, or how many there is time to taste."""
    question = lab.plugin(question_id).question
    usual = question.layout.usual_bowls(question.asked_by(draft))
    if usual is not None:
        return draft.bowls or usual
    if not question.layout.bowls:
        return lab.sheet(question.sheet).cups
    # However many stand there, time is what one taster needs.
    codes = draft.share or codes_of(lab, question_id, draft)
    return draft.bowls or bowls_in_time(
        codes, question.layout.bowls, rounds=rounds_of(lab, question_id)
    )


def cups_of(lab: Lab, question_id: str, draft: PlanDraft) -> int:
    """Return how many bowls a draft puts under a code."""
    bowls = bowls_of(lab, question_id, draft)
    return lab.plugin(question_id).question.layout.cups(bowls)


def codes_of(lab: Lab, question_id: str, draft: PlanDraft) -> int:
    """Return how many codes a draft asks for, controls and duplicate among them."""
    question = lab.plugin(question_id).question
    coffees = len(draft.coffees) + len(question.extra_coffees(draft))
    if draft.coffees and question.is_twice(draft):
        coffees += 1
    bowls = bowls_of(lab, question_id, draft) if question.is_single else 1
    return question.layout.codes(coffees, bowls)


def rounds_of(lab: Lab, question_id: str) -> int:
    """Return in how many rounds the question's sheet is tasted."""
    sheet = lab.sheet(lab.plugin(question_id).question.sheet)
    return sum(each.id != SMELLED for each in sheet.rounds)
