"""`match` as the lab takes it up."""

from crustbreak.ports.question_plugin import QuestionPlugin
from crustbreak.questions.match.definition import MATCH
from crustbreak.questions.match.document import approval_note, match_blocks
from crustbreak.questions.match.evidence import match_evidence
from crustbreak.questions.match.forecast import forecast_match
from crustbreak.questions.match.plan_fields import match_fields

MATCH_PLUGIN = QuestionPlugin(
    question=MATCH,
    plan_fields=match_fields,
    evidence=match_evidence,
    blocks=match_blocks,
    document=approval_note,
    forecast=forecast_match,
)
