"""What a plan takes and what is in its way, as sentences and as a picture of the course."""

from collections import Counter
from typing import Any

from crustbreak.analysis.forecast import Forecast
from crustbreak.analysis.scheduling.fitting import Misfit
from crustbreak.analysis.scheduling.schedule import Act, Schedule, Work
from crustbreak.core.units import SECONDS_A_MINUTE, TASTE_BELOW_C, clock
from crustbreak.domain.planning.phrases import format_count, format_list

# The picture's own units: how wide it is, where its rows stand, and how far apart marks may be.
WIDE, LEFT = 1000.0, 130.0
ROWS = {"pour": 10, "break": 46, "skim": 82}
STEPS_MIN = (1, 2, 5, 10)
MOST_MARKS = 10
TALL = 24
WORDS = ("One person", "Two people", "Three people", "Four people")
DOES = {Work.POUR: "pours", Work.BREAK: "breaks", Work.SKIM: "skims"}


def forecast_view(forecast: Forecast | None) -> dict[str, Any] | None:
    """Return what the plan's page and the table's page show; None before there is anything."""
    if forecast is None:
        return None
    misfit = forecast.misfit
    schedule = misfit.quickest if misfit else forecast.schedule
    return {
        "takes": forecast.takes,
        "issues": [
            {"found": each.found, "fix": each.fix, "stops": each.stops} for each in forecast.issues
        ],
        "misfit": misfit_data(misfit) if misfit else None,
        "course": course_text(schedule) if schedule else "",
        "picture": draw_course(schedule) if schedule else None,
        "people": people_of(schedule) if schedule else 1,
        "first": first_round_text(forecast),
    }


def course_text(schedule: Schedule) -> str:
    """Return a course in a sentence: when it is poured, broken, skimmed.

    And from how many waves.
    """
    pours = [cup.pour for cup in schedule.cups]
    breaks = [cup.break_ for cup in schedule.cups]
    worst = schedule.worst_error_s
    steep = f"every steep within {worst} s" if worst else "every steep as the recipe says"
    fills = len(schedule.fills)
    water = "one full kettle" if fills == 1 else f"{fills} full kettles"
    return (
        f"{WORDS[people_of(schedule) - 1]}, {water}: pours from 0:00 to "
        f"{clock(max(each.until_s for each in pours))}, "
        f"breaks from {clock(min(each.from_s for each in breaks))} to "
        f"{clock(max(each.until_s for each in breaks))}, all skimmed at "
        f"{clock(schedule.finish_s)}; {steep}.{hands_text(schedule)}"
    )


def people_of(schedule: Schedule) -> int:
    """Return how many people the work is shared out to: not all that were offered are needed."""
    return max(act.person for cup in schedule.cups for act in (cup.pour, cup.break_, cup.skim))


def hands_text(schedule: Schedule) -> str:
    """Return how many bowls each of several people pours, breaks and skims; nothing for one."""
    people = people_of(schedule)
    enough = " Nobody else is needed." * (schedule.bench.people > people)
    if people == 1:
        return enough
    said = "; ".join(_share(schedule, person) for person in range(1, people + 1))
    return f" {said[0].upper()}{said[1:]}.{enough}"


def _share(schedule: Schedule, person: int) -> str:
    counted = Counter(act.work for act in schedule.of_person(person))
    said = [f"{DOES[work]} {format_count(counted[work], 'bowl')}" for work in Work if counted[work]]
    return f"person {person} {format_list(said)}"


def misfit_data(misfit: Misfit) -> dict[str, str]:
    """Return in words by how much the work takes too long, and what would mend it."""
    quickest, most = clock(misfit.quickest.finish_s), clock(misfit.bench.within_s or 0)
    proven = f"; nothing takes less than {clock(misfit.least_s)}" if misfit.is_proven else ""
    people = misfit.bench.people
    found = (
        f"{WORDS[people - 1]} {'has' if people == 1 else 'have'} poured, broken and skimmed all "
        f"bowls at {quickest} at the earliest "
        f"found{proven}. At {most} the first bowls are ready to taste, and should not wait."
    )
    return {"found": found, "fix": misfit.problem.remedy}


def first_round_text(forecast: Forecast) -> str:
    """Return in words from when on a bowl may be tasted, and how sure that is."""
    return (
        f"First round from {clock(forecast.first_s)} after a bowl's pour: by then 19 bowls in 20 "
        f"are at {TASTE_BELOW_C} °C or below. Most are so at {clock(forecast.cool.at_s)}, the "
        f"first at {clock(forecast.cool.early_s)}. A thermometer in a bowl beats this."
    )


def draw_course(schedule: Schedule) -> dict[str, Any]:
    """Return the picture of a course: a bar for every act in its row, and marks for minutes.

    Where several work, each row has a strip for each of them, the first person's on top.
    """
    tall = TALL / people_of(schedule)
    scale = (WIDE - LEFT) / schedule.finish_s
    acts = [act for cup in schedule.cups for act in (cup.pour, cup.break_, cup.skim)]
    return {
        "wide": WIDE,
        "rows": [{"word": f"{word}s", "y": y + 18} for word, y in ROWS.items()],
        "bars": [_bar(act, scale, tall) for act in acts],
        "marks": _marks(schedule.finish_s, scale),
    }


def _bar(act: Act, scale: float, tall: float) -> dict[str, Any]:
    return {
        "work": act.work.value,
        "x": round(LEFT + act.from_s * scale, 1),
        "y": round(ROWS[act.work.value] + (act.person - 1) * tall, 1),
        "tall": round(tall, 1),
        "wide": round(max(2.0, (act.until_s - act.from_s) * scale), 1),
    }


def _marks(finish_s: int, scale: float) -> list[dict[str, Any]]:
    minutes = finish_s // SECONDS_A_MINUTE
    step = next((each for each in STEPS_MIN if minutes / each <= MOST_MARKS), STEPS_MIN[-1])
    return [
        {"x": round(LEFT + minute * SECONDS_A_MINUTE * scale, 1), "said": minute}
        for minute in range(0, minutes + 1, step)
    ]
