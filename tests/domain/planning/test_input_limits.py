"""Figures that nothing can be worked out from."""

from math import inf, nan

import pytest

from crustbreak.domain.planning.input_limits import LIMITS, check_planned
from planned_tables import planned_table


def test_a_table_that_can_be_set_has_no_problem() -> None:
    assert check_planned(planned_table()) == ()
    assert check_planned(planned_table(boil=None, gap=None, use__sample_g=None)) == ()


@pytest.mark.parametrize(("field", "words", "least", "most"), LIMITS)
def test_every_figure_has_its_two_ends(field: str, words: str, least: float, most: float) -> None:
    for figure in (least - 1, most + 1, nan, inf, -inf):
        (problem,) = check_planned(planned_table(**{field.replace(".", "__"): figure}))

        assert problem.where == words
        assert problem.remedy


def test_kettle_has_to_fill_a_bowl() -> None:
    (problem,) = check_planned(planned_table(means__kettle_ml=190, means__kettle_rest_ml=50))

    assert (problem.where, problem.found) == ("Kettle, ml", "140 ml")
