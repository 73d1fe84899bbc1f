"""Which of these is worth buying?"""

from crustbreak.domain.capabilities import (
    HiddenControl,
    HiddenDuplicate,
    LotHistory,
    SharedCodes,
    TwoStages,
)
from crustbreak.domain.question import Question

# Five bowls under one code: the protocol's unit for evenness and cleanness. Source: [S1]. Three or
# one where more coffees are to be tasted while they are warm: common practice, no source.
BOWLS = (5, 3, 1)


# A small lab's flood of offers has some forty: common practice, no source.
STAGES = TwoStages(most_offers=48, goes_on="look again", stays="decline")

CHOOSE = Question(
    id="choose",
    asks="Which of these is worth buying?",
    sheet="ten_line/1",
    least_coffees=3,
    most_coffees=14,
    cut_off_title="Cut-off, points",
    # The lower bound of the specialty classes. Source: [S1].
    cut_off=80.0,
    verdicts=("buy", "look again", "decline"),
    each_coffee=True,
    document="Decision memo",
    layout=SharedCodes(bowls=BOWLS),
    capabilities=(HiddenControl(), HiddenDuplicate(), STAGES, LotHistory()),
)
