from dataclasses import replace

import pytest

from crustbreak.analysis.forecast import (
    Forecast,
    TableSpec,
    as_poured,
    bench_of,
    bowl_of,
    first_round_of,
    forecast_table_facts,
    means_of,
    room_of,
)
from crustbreak.analysis.scheduling.checking import check_schedule
from crustbreak.analysis.scheduling.fitting import Misfit
from crustbreak.domain.brewing.bowls import BOWLS
from crustbreak.domain.records.lab_settings import LabSettings
from crustbreak.domain.records.recipes import STANDARD
from crustbreak.domain.records.sample_conditions import SampleConditions

# Two kettles of three litres: enough that no bowl waits for water.
READY = LabSettings(kettles=2, kettle_ml=3000)


def table(**changed: object) -> TableSpec:
    asked: dict[str, object] = {
        "recipe": STANDARD,
        "places": 6,
        "cups": 5,
        "tasters": 3,
        "rounds": 3,
    }
    return TableSpec(**{**asked, **changed})  # type: ignore[arg-type]


def rules(forecast: Forecast) -> set[str]:
    return {each.rule for each in forecast.issues}


def test_six_coffees_in_five_bowls_fit_and_are_weighed_out() -> None:
    # Grams: common practice, no source, 55 to 60 g roasted and 65 to 70 g green at 13 % loss.
    # 6 x 5 fits three rounds, at 8 s a bowl the pours fit the steep: common practice, no source.
    forecast = forecast_table_facts(READY, table())

    assert forecast.issues == ()
    assert forecast.misfit is None
    assert forecast.schedule is not None
    assert check_schedule(forecast.schedule) == ()
    assert "60 g roasted, 70 g green" in forecast.takes[0]
    # A litre of water at 93 C weighs 963 g (from memory, as the control charts have it).
    assert "is 144.5 g on the scale" in forecast.takes[1]
    # Two kettles of three litres, 50 ml of which stay in: 19 bowls of 150 ml, and the rest.
    assert "Kettles are filled 2 times, for 19 + 11 bowls." in forecast.takes


def test_too_many_for_three_rounds_and_for_one_person_is_said_with_what_mends_it() -> None:
    # 10 x 5 does not fit three rounds: common practice, no source.
    forecast = forecast_table_facts(READY, table(places=10))

    assert "time" in rules(forecast)
    assert all(each.fixes for each in forecast.issues)
    # Fifty bowls of 21 s each and their steep, by one person: 17:30 at least.
    crowded = forecast_table_facts(READY, table(places=14))
    assert isinstance(crowded.misfit, Misfit)
    assert crowded.misfit.fixes


def test_pours_that_a_schedule_keeps_are_no_hitch() -> None:
    # Thirty-five bowls do not fit in one go before the first break, and in waves they do.
    forecast = forecast_table_facts(READY, table(places=7))

    assert forecast.schedule is not None
    assert check_schedule(forecast.schedule) == ()


def test_a_lab_that_lies_high_boils_too_cool() -> None:
    # At 2,500 m water boils at about 91.4 C ([S18], [S19]): below the window and the recipe.
    forecast = forecast_table_facts(replace(READY, altitude_m=2500), table())

    assert {"boil", "window"} <= rules(forecast)
    assert forecast.schedule is not None


def test_water_is_poured_no_hotter_than_it_gets() -> None:
    # At 2,500 m water boils at about 91.4 C ([S18], [S19]).
    assert as_poured(LabSettings(altitude_m=2500), STANDARD).pour_c == pytest.approx(91.4, abs=0.3)
    assert as_poured(LabSettings(), STANDARD) == STANDARD


def test_a_table_too_coarse_for_what_matters_is_said_to_be() -> None:
    coarse = forecast_table_facts(replace(READY, matters_points=1.0), table(believing=(1.6, 3)))
    fine = forecast_table_facts(replace(READY, matters_points=2.0), table(believing=(1.6, 3)))

    assert "gap" in rules(coarse)
    assert "gap" not in rules(fine)


def test_a_double_takes_twice_of_the_coffee_that_chance_chooses() -> None:
    forecast = forecast_table_facts(READY, table(doubled=True))

    assert "10 bowls of 8.25 g" in forecast.takes[0]
    assert "Chance says which coffee stands twice" in forecast.takes[0]


@pytest.mark.parametrize("bowl", BOWLS, ids=lambda bowl: bowl.kind)
def test_no_round_is_suggested_while_a_bowl_may_scald(bowl: object) -> None:
    lab_settings = replace(READY, bowl=bowl.kind)  # type: ignore[attr-defined]

    forecast = forecast_table_facts(lab_settings, table())

    assert bowl_of(lab_settings) == bowl
    assert forecast.first_s >= forecast.cool.late_s
    assert forecast.first_s >= STANDARD.steep_s
    assert forecast.first_s == first_round_of(lab_settings, STANDARD)


def test_a_houses_means_are_what_it_said() -> None:
    lab_settings = LabSettings(
        kettles=2, kettle_ml=1700, loss_percent=15, purge_g=3, room_c=30, altitude_m=800
    )

    means, bench, room = (
        means_of(lab_settings),
        bench_of(lab_settings, STANDARD, cups=30),
        room_of(lab_settings),
    )

    assert (means.kettles, means.kettle_ml, means.loss_share) == (2, 1700, 0.15)
    # Of 1,700 ml 50 cannot be poured: eleven bowls of 150 ml.
    assert (bench.kettles.count, bench.kettles.pours) == (2, 11)
    assert (bench.pace.pour_s + bench.pace.gap_s, bench.people) == (STANDARD.pace_s, 1)
    assert (room.temperature_c, room.altitude_m) == (30, 800)


def test_a_table_that_takes_more_bowls_than_there_are_is_said_to() -> None:
    short = forecast_table_facts(replace(READY, bowls=24), table())
    none = forecast_table_facts(replace(READY, bowls=4), table())

    # By hand: six codes of five bowls; 24 bowls make four codes.
    assert short.issues[0].found == "The table takes 30 bowls and the house owns 24."
    assert short.issues[0].fix == "Take 2 codes off the table, to 4."
    assert none.issues[0].fixes == ()
    assert "bowls" not in rules(forecast_table_facts(replace(READY, bowls=30), table()))


def test_what_was_said_beside_the_plan_is_looked_at() -> None:
    # 250 g give neither a grading of 350 g nor two portions of 100 g: common practice, no source.
    said = SampleConditions(sample_g=250, graded=True, retained=True, ground_min=40, lidded=True)

    forecast = forecast_table_facts(READY, table(conditions=said))

    assert rules(forecast) == {"sample", "grind"}
    assert (
        forecast_table_facts(READY, table(conditions=SampleConditions(sample_g=250))).issues == ()
    )
    assert (
        "180 g left"
        in forecast_table_facts(READY, table(conditions=SampleConditions(sample_g=250))).takes[1]
    )


@pytest.mark.parametrize("people", [1, 2, 4])
def test_one_person_pours_however_many_work(people: int) -> None:
    # One pourer and a clear lane: common practice, no source.
    forecast = forecast_table_facts(READY, table(places=4, people=people))

    assert forecast.schedule is not None
    assert {cup.pour.person for cup in forecast.schedule.cups} == {1}
    assert check_schedule(forecast.schedule) == ()


def test_a_recipe_for_a_heavy_bowl_is_cool_sooner_than_the_houses_glass() -> None:
    # A 300 g ceramic bowl is under 70 C at 4:30, a glass at 8 to 10 min: common practice, no
    # source.
    heavy = forecast_table_facts(READY, table(recipe=replace(STANDARD, bowl="heavy ceramic")))

    assert bowl_of(READY, "heavy ceramic").kind == "heavy ceramic"
    assert heavy.first_s < forecast_table_facts(READY, table()).first_s
