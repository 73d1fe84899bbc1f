"""What a table of the approved coffee will be able to tell, said before it is planned."""

from crustbreak.analysis.forecast_input import ForecastInput
from crustbreak.questions.match.bowl_ratings import spreads_known
from crustbreak.questions.match.decision_rule import CLEAR, OFTEN, forecast_text
from crustbreak.questions.match.definition import MatchAsked, level_of
from crustbreak.reports.text import format_count, format_in_100


def forecast_match(asked: ForecastInput) -> tuple[str, ...]:
    """Return in words how rarely the answer may be false, and how often it will be found."""
    certainty = MatchAsked.restore(asked.asked).certainty
    level = level_of(certainty, asked.look)
    said = [
        f"Where nothing differs it says \u201cdifferent\u201d at most {_once(level)}; with all "
        f"further bowls together at most {_once(1 - certainty)}."
    ]
    if asked.priors is None:
        return tuple(said)
    spreads, tables = spreads_known(asked.history, asked.priors)
    promise = forecast_text(
        bowls=asked.bowls,
        tasters=asked.tasters,
        within=asked.cut_off,
        level=level,
        spreads=spreads,
        look=asked.look,
    )
    by_luck = f"once in {promise.by_luck:,}"
    smallest = ""
    if promise.smallest is not None:
        smallest = f", and one of {promise.smallest:g} {OFTEN * 10:.0f} times in 10"
    known = format_count(tables, "table") if tables else "what is assumed before the first table"
    return (
        f"{asked.bowls} bowls of each part without a slip by luck alone {by_luck}.",
        *said,
        f"A difference of {CLEAR:g} points is found with {format_in_100(promise.found)}{smallest}.",
        f"Where nothing differs it says \u201csame within {asked.cut_off:g}\u201d with "
        f"{format_in_100(promise.same)}; else it mostly cannot tell, and says how many more bowls "
        "would, if any.",
        f"Worked out from {known}: one bowl by one taster gives or takes {spreads.own:.1f}.",
    )


def _once(rate: float) -> str:
    return f"once in {round(1 / rate):,}"
