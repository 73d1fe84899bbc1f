"""Evidence and records as they are kept, for the tests of what is printed of them."""

from collections.abc import Mapping
from typing import Any

from crustbreak.exchange.canonical_json import plain
from crustbreak.questions.choose.evidence import choice_evidence
from crustbreak.reports.blocks import Block
from crustbreak.reports.render.terminal import blocks_as_lines
from datasets import dataset

SPREAD = {"count": 2, "mean": 85.0, "deviation": 1.4142, "least": 84.0, "most": 86.0}
ALONE = {"count": 1, "mean": 85.0, "deviation": None, "least": 85.0, "most": 85.0}


def taster(name: str, total: float | None, **changed: Any) -> dict[str, Any]:
    return {
        "taster": name,
        "code": "204",
        "total": total,
        "missing": [],
        "flagged": [],
        "notes": [],
        "call": "buy",
        **changed,
    }


def coffee(**changed: Any) -> dict[str, Any]:
    return {
        "coffee": "Marrow Hill",
        "code": "204",
        "total": SPREAD,
        "title": "excellent",
        "over": 1.0,
        "bowls": 5,
        "bad_bowls": 0,
        "judged": 2,
        "tasters": [taster("Odile", 84.0), taster("Anouk", 86.0)],
        "lines": [
            {
                "title": "Flavor",
                "points": [7.5, 8.5],
                "spread": {**SPREAD, "mean": 8.0},
                "penalty": False,
            }
        ],
        **changed,
    }


def evidence(*coffees: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "cut_off": 84.0,
        "how_sure": "not computed yet",
        "tasters": ["Odile", "Anouk"],
        "coffees": list(coffees) or [coffee()],
    }


def record(**changed: Any) -> dict[str, Any]:
    table = {
        "id": "0",
        "occasion": "Morning offers",
        "planned_at": "2031-03-03T08:00:00.000Z",
        "tasters": ["Odile", "Anouk"],
        "setter": "Piet",
        "setter_tasted": False,
        "key_opened_at": ["2031-03-04T08:10:00.000Z"],
        "poured_at": "2031-03-04T09:30:00.000Z",
        "broken_at": "2031-03-04T09:34:00.000Z",
        "steeped_s": 240.0,
        "taps_undone": 0,
        "uncovered_at": "2031-03-04T10:10:00.000Z",
        "cut_off": 84.0,
        "cut_off_title": "Cut-off, points",
        "cups": [5],
        "recipe": {"dose_g": 8.25, "water_ml": 150, "steep_s": 240},
        **changed.pop("table", {}),
    }
    return {
        "engine": "0.1.0",
        "lab": "Test lab",
        "question": {"id": "choose", "asks": "Which?", "document": "Decision memo"},
        "sheet": {"ref": "ten_line/1", "title": "Ten-line sheet", "source": "S1"},
        "table": table,
        "left_out": {"late": 0, "set_aside": 0},
        "evidence": evidence(),
        "verdict": {
            "words": [{"subject": "Marrow Hill", "word": "buy"}],
            "reason": "The best.",
            "by": "Piet",
            "at": "2031-03-04T11:00:00.000Z",
        },
        "digest": "0123456789abcdef" * 4,
        **changed,
    }


def weighed(*, cut_off: float = 84.0) -> dict[str, Any]:
    """Give evidence with its certainty, as it is kept."""
    totals = {
        "Tarn": {"Odile": 88.0, "Anouk": 89.0},
        "Fen Cross": {"Odile": 84.0, "Anouk": 84.5},
        "Marrow Hill": {"Odile": 78.0, "Anouk": 77.0},
    }
    return plain(choice_evidence(dataset(totals, cut_off=cut_off)))


def spoken(*blocks: Block) -> str:
    """Give what blocks say, on as long a line as it takes."""
    return "\n".join(blocks_as_lines(blocks, 10_000))
