import pytest

from crustbreak.core.errors import OutOfRange
from crustbreak.domain.brewing.valid_range import within


@pytest.mark.parametrize("value", [0, 22.5, 45])
def test_a_number_inside_comes_back_as_it_is(value: float) -> None:
    assert within(value, 0, 45, what="The room's temperature, C") == value


@pytest.mark.parametrize("value", [-0.1, 45.1, float("nan"), float("inf")])
def test_a_number_outside_is_refused_with_the_range(value: float) -> None:
    with pytest.raises(OutOfRange, match="The room's temperature, C") as told:
        within(value, 0, 45, what="The room's temperature, C")

    assert told.value.hint == "Give a number from 0 to 45."
