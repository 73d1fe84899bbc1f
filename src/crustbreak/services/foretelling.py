"""What a table will be able to tell, said before it is planned by the question itself."""

from crustbreak.analysis.asked import Asked
from crustbreak.domain.planning.drafts import PlanDraft, check_cut_off
from crustbreak.ports.lab import Lab
from crustbreak.services.adding import look_number
from crustbreak.services.foreseeing import bowls_of, certainty_of
from crustbreak.services.framing import house_history


def foretold(lab: Lab, question_id: str, draft: PlanDraft) -> tuple[str, ...]:
    """Say beforehand what a draft's table can tell, for a question that says it in sentences.

    Nothing while the figure that decides is none of the sheet's, or nothing is assumed of it.
    """
    kit = lab.kit(question_id)
    sheet = lab.sheet(kit.question.sheet)
    if kit.foretell is None or draft.cut_off is None or check_cut_off(draft.cut_off, sheet):
        return ()
    asked = Asked(
        sheet=sheet,
        bowls=bowls_of(lab, question_id, draft),
        tasters=max(1, len(draft.tasters)),
        cut_off=draft.cut_off,
        certainty=certainty_of(kit.question, draft),
        look=look_number(lab, draft.follows) + 1,
        history=house_history(lab, sheet.ref),
        priors=lab.priors(sheet.ref),
    )
    about = f"foretold of {question_id}"
    told: tuple[str, ...] | None = lab.hearing.recall(about, asked)
    if told is None:
        told = kit.foretell(asked)
        lab.hearing.remember(about, asked, told)
    return told
