from pathlib import Path

from at_a_match import match_draft, match_lab, planned_match
from at_the_table import COFFEES, planned

from crustbreak.domain.planning.plan_request import PlanDraft
from crustbreak.domain.records.recipes import STANDARD
from crustbreak.ports.lab import Lab
from crustbreak.services.planning.forecast import (
    course_of,
    first_round_in,
    forecast_draft,
    forecast_table,
    recipe_of,
)


def draft(**changed: object) -> PlanDraft:
    asked: dict[str, object] = {
        "occasion": "",
        "coffees": COFFEES,
        "tasters": ("Odile",),
        "cut_off": None,
        "setter": "",
    }
    return PlanDraft(**{**asked, **changed})  # type: ignore[arg-type]


def test_a_draft_is_looked_at_before_it_is_whole(lab: Lab) -> None:
    forecast = forecast_draft(lab, "choose", draft())

    assert forecast is not None
    assert forecast.schedule is not None
    assert len(forecast.schedule.cups) == 15


def test_control_and_double_stand_there_too(lab: Lab) -> None:
    forecast = forecast_draft(lab, "choose", draft(controls=("Old Post",), duplicate=True))

    assert forecast is not None
    plan = forecast.schedule or (forecast.misfit and forecast.misfit.quickest)
    assert plan
    assert len(plan.cups) == 25


def test_without_coffees_or_tasters_there_is_nothing_to_look_at(lab: Lab) -> None:
    assert forecast_draft(lab, "choose", draft(coffees=())) is None
    assert forecast_draft(lab, "choose", draft(tasters=())) is None


def test_a_table_is_foreseen_as_its_draft_was(lab: Lab) -> None:
    asked = draft(controls=("Old Post",), duplicate=True, tasters=("Odile", "Anouk"))
    table = planned(lab, tasters=("Odile", "Anouk"), controls=("Old Post",), duplicate=True)

    assert forecast_table(lab, table) == forecast_draft(lab, "choose", asked)


def test_a_table_is_poured_in_the_course_that_was_foreseen(lab: Lab) -> None:
    table = planned(lab)
    kept = lab.repository.read(lambda records: records.table(table.id))

    assert kept.course == table.course == course_of(lab, table.recipe, cups=15)
    # A litre less its rest fills six bowls of 150 ml, and heats for three minutes: the seventh
    # waits. Every bowl steeps four minutes: [S1].
    assert kept.course[6].pour_s >= 6 * table.recipe.pace_s + 180 - 1
    assert {times.break_s - times.pour_s for times in kept.course} == {240}


def test_the_hands_are_kept_with_the_course(lab: Lab) -> None:
    asked = draft(controls=("Old Post",), duplicate=True, people=2)
    table = planned(lab, controls=("Old Post",), duplicate=True, people=2)
    kept = lab.repository.read(lambda records: records.table(table.id))

    assert kept.people == table.people == 2
    assert kept.course == course_of(lab, table.recipe, cups=25, people=2)
    assert forecast_table(lab, kept) == forecast_draft(lab, "choose", asked)


def test_no_spoon_goes_into_a_bowl_before_it_is_cool_enough(lab: Lab) -> None:
    table = planned(lab)
    kept = lab.repository.read(lambda records: records.table(table.id))
    last = kept.course[4].pour_s

    # The first place is cool enough when its fifth bowl is.
    assert kept.first_round_s == first_round_in(lab, table.recipe)
    assert kept.taste_from_s(table.places[0].id) == last + kept.first_round_s


def test_a_protocol_is_the_houses_unless_one_is_named(lab: Lab) -> None:
    assert recipe_of(lab, "") == STANDARD
    assert planned(lab, protocol="wide/1").recipe.dose_g == 11


def test_the_open_bowl_is_poured_and_its_coffee_counted(tmp_path: Path) -> None:
    with match_lab(tmp_path) as (lab, _):
        forecast = forecast_draft(lab, "match", match_draft())
        table = planned_match(lab)

        assert forecast is not None
        assert forecast.schedule is not None
        # Three and three blind, and one open: seven bowls, of one coffee four. 4 x 8.25 g is 33 g.
        assert len(forecast.schedule.cups) == 7
        assert "4 bowls of 8.25 g" in forecast.takes[0]
        assert "Chance says" not in forecast.takes[0]
        assert forecast_table(lab, table).takes == forecast.takes
