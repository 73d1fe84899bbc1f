from datetime import UTC, datetime

from crustbreak.domain.records.bowl_readings import MeasuredBowl


def test_a_bowl_without_a_reading_is_as_nobody_has_measured_it() -> None:
    back = MeasuredBowl(kind="heavy ceramic", name="grey", since=datetime(2031, 3, 4, tzinfo=UTC))

    assert not back.is_measured
    assert (back.loss_factor, back.readings) == (1.0, ())
