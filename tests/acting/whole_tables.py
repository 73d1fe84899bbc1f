"""Tables of many coffees, tasted by people whose opinions are drawn, from plan to names."""

from collections.abc import Mapping
from typing import Any

import numpy as np
from at_the_table import said, seated, send, whole_sheet

from crustbreak.domain.records.tables import Table
from crustbreak.ports.lab import Lab
from crustbreak.services.tables.actions import break_first, pour_first, table_set, uncover
from crustbreak.services.tables.keys import open_key_to_set

# Seven lines beside three of ten points make the total. Source: [S1].
EVEN_AND_CLEAN, LINES = 30.0, 7


def taste_whole(
    lab: Lab,
    table: Table,
    truth: Mapping[str, float],
    *,
    look_sd: float = 0.9,
    cut_off: float = 84.0,
    seed: int = 1,
) -> dict[str, str]:
    """Set, pour, taste, call and uncover a planned table; give its codes with their names.

    Args:  truth: coffee to total; each look is off by so much, drawn.
    """
    chance = np.random.default_rng(seed)
    names = open_key_to_set(lab, table)
    table_set(lab, table)
    pour_first(lab, table)
    break_first(lab, table)
    for nth in range(len(table.seats)):
        at = seated(lab, table, nth)
        totals = {
            place.id: truth[names[place.id]] + look_sd * chance.standard_normal()
            for place in table.places
        }
        marks = _marked(whole_sheet(lab, at), totals)
        rest: list[Any] = [said(at, len(marks) + 1, "hand_in")]
        rest += [
            said(at, len(marks) + 2 + each, "call", place=place.id, value=word)
            for each, place in enumerate(table.places)
            for word in ("buy" if totals[place.id] >= cut_off else "decline",)
        ]
        send(lab, at, [*marks, *rest])
    uncover(lab, table)
    return {place.code: names[place.id] for place in table.places}


def _marked(marks: list[Any], totals: Mapping[str, float]) -> list[Any]:
    """Give each place about its total, in quarters over its seven lines."""
    left = {
        place: round(4 * (min(max(total, 72.0), 100.0) - EVEN_AND_CLEAN))
        for place, total in totals.items()
    }
    lines = dict.fromkeys(totals, LINES)
    given = []
    for each in marks:
        if each["cup"] is None:
            place = each["place"]
            quarters = left[place] // lines[place]
            left[place] -= quarters
            lines[place] -= 1
            given.append({**each, "value": quarters / 4})
        else:
            given.append(each)
    return given
