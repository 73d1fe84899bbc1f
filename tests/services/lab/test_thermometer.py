"""A reading of the thermometer counts for later tables, and can be taken back."""

from dataclasses import replace

import pytest
from at_the_table import StandingClock, planned
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crustbreak.analysis.forecast import bowl_of, room_of
from crustbreak.core.errors import NotThere, Unacceptable
from crustbreak.domain.brewing.cooling import cool
from crustbreak.domain.planning.thermometer_input import BowlDraft
from crustbreak.domain.records.recipes import STANDARD
from crustbreak.ports.documents import MEASURED_BOWLS
from crustbreak.ports.lab import Lab
from crustbreak.services.lab.settings import lab_settings_of
from crustbreak.services.lab.thermometer import (
    FirstRound,
    KnownBowl,
    known_bowls,
    measure_bowl,
    put_bowl_back,
)
from crustbreak.services.planning.forecast import first_round_in, forecast_table

GLASS = "standard glass"
# A glass under 70 C at about ten minutes: common practice, no source.
AT_TEN = BowlDraft(
    kind=GLASS, protocol="standard/1", name="Grey", room_c=22.0, readings=((600.0, 68.0),)
)


def of(lab: Lab, kind: str) -> KnownBowl:
    return next(each for each in known_bowls(lab) if each.kind == kind)


def test_a_reading_makes_the_first_round_of_later_tables_surer(
    lab: Lab, clock: StandingClock
) -> None:
    before = planned(lab)
    clock.pass_seconds(60)
    measured = measure_bowl(lab, AT_TEN)
    clock.pass_seconds(60)
    after = planned(lab)

    assert measured.loss_doubt < 0.1
    assert after.first_round_s < before.first_round_s
    assert lab.repository.read(lambda records: records.table(before.id)) == before
    assert forecast_table(lab, after).first_s == after.first_round_s


def test_what_changed_is_known_from_both_sides(lab: Lab) -> None:
    start = of(lab, GLASS)
    measure_bowl(lab, AT_TEN)
    known = of(lab, GLASS)

    assert start.before is None
    assert known.before == start.now
    assert isinstance(known.now, FirstRound)
    assert known.now.from_s == first_round_in(lab, STANDARD)
    assert _span(known.now) < _span(start.now)
    assert known.measured is not None
    assert known.measured.name == "Grey"


def _span(first: FirstRound) -> float:
    return first.cool.late_s - first.cool.early_s


def test_another_kind_of_bowl_is_not_touched(lab: Lab) -> None:
    before = of(lab, "heavy ceramic")

    measure_bowl(lab, AT_TEN)

    assert of(lab, "heavy ceramic") == before


def test_a_bowl_is_put_back_and_nothing_is_deleted(lab: Lab) -> None:
    before = first_round_in(lab, STANDARD)
    measured = measure_bowl(lab, AT_TEN)

    put_bowl_back(lab, GLASS)
    put_bowl_back(lab, GLASS)

    assert first_round_in(lab, STANDARD) == before
    assert lab_settings_of(lab).measured == ()
    found = lab.repository.read(lambda records: records.documents(MEASURED_BOWLS))
    assert found[0] == measured
    assert [each.is_measured for each in found] == [True, False]


def test_what_is_no_kind_of_bowl_cannot_be_put_back(lab: Lab) -> None:
    with pytest.raises(NotThere):
        put_bowl_back(lab, "bucket")


def test_a_second_day_counts_with_the_first(lab: Lab) -> None:
    one = measure_bowl(lab, AT_TEN)
    two = measure_bowl(lab, replace(AT_TEN, readings=((720.0, 66.5),), name=""))

    assert two.loss_doubt < one.loss_doubt
    assert two.name == GLASS
    assert len(of(lab, GLASS).found) == 2


@pytest.mark.parametrize(
    "reading",
    # Cold at once, hotter than it was poured, too early, at the room's own temperature.
    [(600.0, 40.0), (600.0, 95.0), (30.0, 85.0), (3000.0, 22.0)],
)
def test_what_no_bowl_could_give_is_refused_with_what_was_found(
    lab: Lab, reading: tuple[float, float]
) -> None:
    with pytest.raises(Unacceptable) as refused:
        measure_bowl(lab, replace(AT_TEN, readings=(reading,)))

    assert all(problem.found and problem.remedy for problem in refused.value.problems)
    assert lab.repository.read(lambda records: records.documents(MEASURED_BOWLS)) == ()


def test_half_a_reading_is_refused(lab: Lab) -> None:
    with pytest.raises(Unacceptable):
        measure_bowl(lab, replace(AT_TEN, readings=((600.0, None),)))


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    kind=st.sampled_from(("standard glass", "heavy ceramic", "light plastic")),
    at_s=st.floats(300, 1800),
    shown_c=st.floats(40, 85),
    room_c=st.floats(10, 35),
)
def test_no_reading_brings_a_spoon_above_65_c(
    lab: Lab, kind: str, at_s: float, shown_c: float, room_c: float
) -> None:
    put_bowl_back(lab, kind)
    asked = replace(AT_TEN, kind=kind, room_c=room_c, readings=((at_s, shown_c),))
    try:
        measure_bowl(lab, asked)
    except Unacceptable:
        return
    known = of(lab, kind)
    lab_settings = replace(lab_settings_of(lab), bowl=kind)
    warm = cool(
        bowl_of(lab_settings), room_of(lab_settings), recipe=STANDARD, at_s=known.now.from_s
    )

    # 65 C: liquids at 71 C and above scald, [S3]. Its error is on the safe side, too.
    assert warm.temperature_c + warm.plus_minus_c <= 65 + 1e-6


def test_a_protocol_for_another_bowl_goes_by_what_was_measured_of_that(lab: Lab) -> None:
    heavy = replace(STANDARD, bowl="heavy ceramic")
    before, other = first_round_in(lab, heavy), first_round_in(lab, STANDARD)
    asked = replace(AT_TEN, kind="heavy ceramic", readings=((480.0, 63.0),))

    measure_bowl(lab, asked)

    assert before == of(lab, "heavy ceramic").before.from_s  # type: ignore[union-attr]
    assert first_round_in(lab, heavy) == of(lab, "heavy ceramic").now.from_s < before
    assert first_round_in(lab, STANDARD) == other
