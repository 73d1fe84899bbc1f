"""Its one line for the wiring."""

from dataclasses import replace

from twins.evidence import weigh_twins
from twins.papers import show_twins, twin_note
from twins.question import TWINS

from crustbreak.ports.question_plugin import QuestionPlugin

APART = replace(
    TWINS,
    id="apart",
    asks="How far apart are these two?",
    sheet="difference/1",
    opens=True,
    cut_off_title="Largest difference that still counts as the same",
    verdicts=(
        "same within d",
        "different, better",
        "different, worse",
        "different",
        "cannot tell yet",
    ),
)

APART_KIT = QuestionPlugin(APART, weigh_twins, show_twins, twin_note)
