"""What a question brings with it, one piece from each layer."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from crustbreak.analysis.dataset import Dataset
from crustbreak.analysis.forecast_input import ForecastInput
from crustbreak.domain.question import Question
from crustbreak.reports.blocks import Block, Paper
from crustbreak.reports.plan_fields import PlanContext, PlanField


@dataclass(frozen=True, slots=True, kw_only=True)
class QuestionPlugin:
    """A question with its form, its evidence and its papers, put together in its folder.

    question:     its definition.
    plan_fields:  what the plan form asks beside coffees' names and people.
    evidence:     the table's ratings to evidence: a frozen record that can be written as JSON.
    blocks:       evidence, as plain JSON data, to the blocks of the host's page.
    document:     a verdict's kept record to a whole document.
    forecast:     a table as asked for to sentences of what it can tell; None where the usual gaps
                  between two coffees say that.
    """

    question: Question
    plan_fields: Callable[[PlanContext], tuple[PlanField, ...]]
    evidence: Callable[[Dataset], Any]
    blocks: Callable[[Mapping[str, Any]], tuple[Block, ...]]
    document: Callable[[Mapping[str, Any]], Paper]
    forecast: Callable[[ForecastInput], tuple[str, ...]] | None = None
