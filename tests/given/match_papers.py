"""Evidence and a record of the approved coffee as they are kept, made by hand."""

from typing import Any

CONTROL, COMPARED = "Oskelan, approved", "Oskelan, arrival"
MORNING = "2031-03-04T09:{:02}:00.000Z"


def bowl(code: str, value: float | None, **more: Any) -> dict[str, Any]:
    """Give one bowl of the coffee that is compared, tasted by one taster."""
    mark = {"taster": "Odile", "value": value, "direction": "", "differs": "", "notes": []}
    said = {name: more.pop(name) for name in mark if name in more}
    return {"sitting": 1, "code": code, "is_candidate": True, "marks": [{**mark, **said}], **more}


BOWLS = [
    bowl("A", 0.5, is_candidate=False),
    bowl("B", 2.5, direction="worse", differs="acidity", notes=["flat, papery"]),
    bowl("C", 1.0, is_candidate=False, direction="neither", differs="body"),
    bowl("D", 2.5, direction="worse", differs="acidity"),
    bowl("E", 3.0, direction="worse", differs="off-note"),
    bowl("F", 1.0, is_candidate=False),
]


def evidence_data(**changed: Any) -> dict[str, Any]:
    """Give what three bowls of either coffee told one taster."""
    return {
        "control": CONTROL,
        "candidate": COMPARED,
        "within": 1.5,
        "certainty": 0.9,
        "look": 1,
        "level": 0.05,
        "claimed": 0.95,
        "tasters": ["Odile"],
        "difference": 1.8333,
        "low": 1.0,
        "high": 2.5,
        "chance": 0.05,
        "ways": 20,
        "is_exact": True,
        "sure": {"mean": 1.7, "low": 0.6, "high": 2.8},
        "within_chance": 0.34,
        "whose": "to Odile",
        "own_error": {"mean": 0.7, "low": 0.4, "high": 1.2},
        "bowls": BOWLS,
        "calls": [{"taster": "Odile", "word": "different, worse"}],
        "suggestion": "different, worse",
        "more": None,
        "warnings": [],
        **changed,
    }


def match_record(word: str = "different, worse", **changed: Any) -> dict[str, Any]:
    """Give the kept record of a verdict on it."""
    asks = "Is this the coffee we approved?"
    return {
        "engine": "0.1",
        "lab": "Test lab",
        "digest": "ab12" * 16,
        "question": {"id": "match", "asks": asks, "document": "Approval note"},
        "sheet": {"ref": "difference/1", "title": "Difference sheet", "source": ""},
        "table": {
            "id": "t",
            "occasion": "Arrival of Oskelan",
            "planned_at": MORNING.format(30),
            "tasters": ["Odile"],
            "setter": "Odile",
            "setter_tasted": True,
            "key_opened_at": [],
            "poured_at": MORNING.format(40),
            "broken_at": MORNING.format(44),
            "steeped_s": 240.0,
            "taps_undone": 0,
            "uncovered_at": MORNING.format(59),
            "cut_off": 1.5,
            "cut_off_planned": 1.5,
            "cut_off_moves": [],
            "cut_off_title": "Largest difference that still counts as the same, d",
            "cups": [1] * 7,
            "open": 1,
            "recipe": {
                "dose_g": 8.25,
                "water_ml": 150,
                "steep_s": 240,
                "pace_s": 8,
                "pour_c": 93,
            },
        },
        "left_out": {"late": 0, "set_aside": 0, "refused": 0, "seats": []},
        "admitted": [],
        "earlier_verdicts": [],
        "blind": {
            "numbered": {
                "read": [{"at": MORNING.format(58), "reason": ""}],
                "places": [{"code": code, "named": True, "doubts": []} for code in "ABCDEF"],
            },
            "knew": [],
        },
        "evidence": evidence_data(),
        "verdict": {
            "words": [{"subject": asks, "word": word}],
            "reason": "Papery and flat in all three bowls.",
            "by": "Odile",
            "at": MORNING.format(59),
        },
        **changed,
    }
