"""What a question brings with it, one piece from each layer."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from crustbreak.analysis.dataset import Dataset
from crustbreak.analysis.forecast_input import ForecastInput
from crustbreak.domain.question import Question
from crustbreak.reports.blocks import Block, Paper


@dataclass(frozen=True, slots=True)
class QuestionPlugin:
    """A question with its evidence and its papers, put together in the wiring.

    question:  the domain's part.
    weigh:     the table's looks to evidence: a frozen record that can be written as JSON.
    show:      evidence, as plain JSON data, to the blocks of the host's page.
    memo:      a verdict's kept record to a whole document.
    forecast:  a table as asked for to sentences of what it can tell; None where the question says
               that otherwise.
    """

    question: Question
    weigh: Callable[[Dataset], Any]
    show: Callable[[Mapping[str, Any]], tuple[Block, ...]]
    memo: Callable[[Mapping[str, Any]], Paper]
    forecast_text: Callable[[ForecastInput], tuple[str, ...]] | None = None
