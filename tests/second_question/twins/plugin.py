"""The one thing that the wiring takes."""

from crustbreak.ports.question_plugin import QuestionPlugin
from twins.evidence import weigh_twins
from twins.papers import show_twins, twin_note
from twins.plan_fields import twin_fields
from twins.question import TWINS

TWIN_PLUGIN = QuestionPlugin(
    question=TWINS,
    plan_fields=twin_fields,
    evidence=weigh_twins,
    blocks=show_twins,
    document=twin_note,
)
