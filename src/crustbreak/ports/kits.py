"""What a question brings with it, one piece from each floor."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from crustbreak.analysis.frames import Frame
from crustbreak.domain.questions.question import Question


@dataclass(frozen=True, slots=True)
class Kit:
    """A question with its evidence and its papers, put together in the wiring.

    question:  the domain's part.
    weigh:     the table's looks to evidence: a frozen record that can be written as JSON.
    show:      evidence, as plain JSON data, to a piece of HTML for the host's page.
    memo:      a verdict's kept record to a whole HTML document.
    """

    question: Question
    weigh: Callable[[Frame], Any]
    show: Callable[[Mapping[str, Any]], str]
    memo: Callable[[Mapping[str, Any]], str]
