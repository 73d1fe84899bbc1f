"""`choose` as the lab takes it up."""

from crustbreak.ports.question_plugin import QuestionPlugin
from crustbreak.questions.choose.definition import CHOOSE
from crustbreak.questions.choose.document import choice_blocks, choice_memo
from crustbreak.questions.choose.evidence import choice_evidence
from crustbreak.questions.choose.plan_fields import choice_fields

CHOOSE_PLUGIN = QuestionPlugin(
    question=CHOOSE,
    plan_fields=choice_fields,
    evidence=choice_evidence,
    blocks=choice_blocks,
    document=choice_memo,
)
