"""The figures that a lab starts with."""

from crustbreak.domain.planning.quantities.equipment import USUAL, Means


def test_usual_figures_are_those_in_use() -> None:
    """A spoon of 4 to 5 ml: [S23]; all others: common practice, no source."""
    usual: Means = USUAL

    assert 4 <= usual.spoon_ml <= 5
    assert 8 <= usual.colour_g <= 10
    assert (usual.loss_share, usual.over_grounds_ml) == (0.13, 30)
    assert (usual.grading_g, usual.retained_g) == (350, 100)
