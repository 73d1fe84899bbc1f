"""Which bowls differ from the recipe by more than its tolerance."""

from typing import Any

import pytest

from crustbreak.domain.tables.deviations import BowlDeviation, deviations_of
from crustbreak.domain.tables.entries import Event
from crustbreak.domain.tables.state import table_state
from tables import event, fact, table


def flags(*facts: Event) -> tuple[BowlDeviation, ...]:
    at_table = table("Ines")
    taps = [event(1, "table set", -60), event(2, "poured", 0), event(3, "broken", 240)]
    return deviations_of(at_table, table_state(at_table, [], [*taps, *facts], subjects=(None,)))


def test_a_table_nobody_touched_has_no_flags() -> None:
    assert flags() == ()


# 8.25 g, 150 ml, 240 s: the recipe, [S1]. Dose within 0.25 g and water within 2 g: common practice,
# no source. 150 ml at 93 C weigh 144.5 g: 963.3 kg/m3, [S20]. Bowl 3 is poured at 2 x 8 s by the
# course; steep within 10 s: our judgement.
@pytest.mark.parametrize(
    ("noted", "flagged"),
    [
        (fact(4, "dose weighed", -30, figure=8.5), None),
        (fact(4, "dose weighed", -30, figure=8.51), ("dose", 0.26)),
        (fact(4, "dose weighed", -30, figure=7.9), ("dose", -0.35)),
        (fact(4, "water weighed", 20, figure=146.4), None),
        (fact(4, "water weighed", 20, figure=142.0), ("water", pytest.approx(-2.5, abs=0.02))),
        (fact(4, "bowl broken", 16 + 250, cup=3), None),
        (fact(4, "bowl broken", 16 + 265, cup=3), ("steep", 25)),
        (fact(4, "bowl broken", 16 + 229, cup=3), ("steep", -11)),
        (fact(4, "bowl spilt", 100, cup=3), ("spilt", None)),
        (fact(4, "bowl poured", 90, cup=3), None),
        (fact(4, "heat measured", 700, cup=3, figure=64.0), None),
    ],
)
def test_flags_what_is_further_off_than_the_tolerance(
    noted: Event, flagged: tuple[str, Any] | None
) -> None:
    found = [(each.code, each.cup, each.kind, each.off) for each in flags(noted)]

    assert found == ([("527", noted.cup, *flagged)] if flagged else [])


def test_a_late_bowl_that_steeped_its_time_is_no_bowl_that_differs() -> None:
    late = [fact(4, "bowl poured", 90, cup=3), fact(5, "bowl broken", 330, cup=3)]

    assert flags(*late) == ()
    assert flags(late[0], fact(5, "bowl broken", 300, cup=3)) == (
        BowlDeviation(code="527", cup=3, kind="steep", off=-30),
    )
