"""What the control's own bowls give away: marks that a "same" should not be read from unwarned.

The open bowl is the control. Where its blind bowls are marked as if it were not, or so far off that
no further difference can be marked, the two coffees may well differ and the figures not show it.
"""

from collections.abc import Sequence

import pytest

from bowls import bowls
from crustbreak.questions.match.evidence import match_evidence

NEAR, FAR = (0.0, 0.5, 0.5), (2.5, 3.0, 2.5)
MIXED_UP, NO_ROOM = "mixed up", "end of the scale"


def warned(
    control: Sequence[float | None], compared: Sequence[float | None], about: str, **more: object
) -> bool:
    found = match_evidence(bowls(control, compared, **more))
    return any(about in warning for warning in found.warnings)


@pytest.mark.parametrize("certainty", [0.9, 0.95, 0.99])
def test_a_control_further_off_than_luck_puts_it_is_said_to_be_mixed_up(certainty: float) -> None:
    # By hand: one of the twenty ways puts the control so far off, whatever the table is asked for.
    assert warned(FAR, NEAR, MIXED_UP, asked={"certainty": certainty})
    assert not warned(NEAR, FAR, MIXED_UP, asked={"certainty": certainty})


def test_a_control_that_luck_may_have_put_there_is_not() -> None:
    # By hand: 0.5 can change places with 0.5, so that two of twenty ways put it as far off.
    assert not warned((0.5, 1.0, 1.5), (0.0, 0.0, 0.5), MIXED_UP)
    assert not warned(NEAR, NEAR, MIXED_UP)


def test_a_mixed_up_control_is_seen_in_all_sittings_together() -> None:
    first = bowls((1.0, 1.5, 2.0), (0.5, 1.0, 1.5), id="t1")

    # By hand: of 20 x 20 ways, at the most those of the second sitting's one with the first's.
    assert not warned((1.0, 1.5, 2.0), (0.5, 1.0, 1.5), MIXED_UP)
    assert warned(FAR, NEAR, MIXED_UP, id="t2", follows="t1", history=(first,))


def test_a_control_near_the_end_of_the_scale_leaves_no_room_for_d() -> None:
    # The sheet ends at 5: of 4.5, 4.5 and 3.0 the mean is 4, and 4 + 1.5 cannot be marked.
    assert warned((4.5, 4.5, 3.0), (4.0, 4.0, 4.0), NO_ROOM)
    # 3.5 + 1.5 just can.
    assert not warned((3.5, 3.5, 3.5), (4.0, 4.0, 4.0), NO_ROOM)
    assert not warned((3.5, None, 3.5), (5.0, 5.0, 5.0), NO_ROOM)


def test_nothing_is_said_of_a_control_that_nobody_marked() -> None:
    found = match_evidence(bowls((None,) * 3, (4.5,) * 3))

    assert not any(MIXED_UP in said or NO_ROOM in said for said in found.warnings)
