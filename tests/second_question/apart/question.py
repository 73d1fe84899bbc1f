"""Its one line for the wiring."""

from dataclasses import replace

from twins.plugin import TWIN_PLUGIN
from twins.question import TWINS

from crustbreak.domain.capabilities import LabelledControl

APART = replace(
    TWINS,
    id="apart",
    asks="How far apart are these two?",
    sheet="difference/1",
    capabilities=(LabelledControl(),),
    cut_off_title="Largest difference that still counts as the same",
    verdicts=(
        "same within d",
        "different, better",
        "different, worse",
        "different",
        "cannot tell yet",
    ),
)

APART_PLUGIN = replace(TWIN_PLUGIN, question=APART)
