"""Bowls as dots on a line from the open one on, and the difference below them."""

from typing import Any

from crustbreak.questions.match.chart import BowlRow, DifferenceBand, bowls_text, draw_bowls

CONTROL = BowlRow(name="Oskelan", small="control, blind", marks=(1.0, 0.5, 1.0))
COMPARED = BowlRow(name="Oskelan 2", small="compared", marks=(2.5, 3.0), is_new=True)
GAP = DifferenceBand(within=1.5, mean=1.7, low=-0.4, high=2.8)


def drawn(gap: DifferenceBand | None = GAP) -> dict[str, Any]:
    specs = draw_bowls([CONTROL, COMPARED], gap, most=5.0)
    assert list(specs) == ["wide", "paper", "narrow"]
    return specs["wide"]


def layer(spec: dict[str, Any], name: str) -> list[dict[str, Any]]:
    values: list[dict[str, Any]] = next(
        each["data"]["values"] for each in spec["layer"] if each["name"] == name
    )
    return values


def test_every_bowl_is_a_dot_where_its_mark_is_hollow_for_the_control() -> None:
    spec = drawn()

    assert [dot["mark"] for dot in layer(spec, "control bowls")] == [0.5, 1.0, 1.0]
    assert [dot["mark"] for dot in layer(spec, "compared bowls")] == [2.5, 3.0]
    fills = {each["name"]: each["mark"].get("fill") for each in spec["layer"]}
    assert fills["control bowls"] != fills["compared bowls"]


def test_bowls_of_one_mark_stand_one_above_the_other() -> None:
    first, second, third = layer(drawn(), "control bowls")

    assert first["at"] == second["at"]
    assert third["at"] < second["at"]


def test_the_difference_stands_below_with_what_holds_it_and_with_d() -> None:
    spec = drawn()

    (held,) = layer(spec, "held")
    assert (held["low"], held["mean"], held["high"]) == (-0.4, 1.7, 2.8)
    assert layer(spec, "within")[0]["d"] == 1.5
    # A difference under nothing has room on the line.
    assert spec["usermeta"]["ends"] == (-1, 5.0)


def test_without_a_difference_only_bowls_are_drawn() -> None:
    spec = drawn(None)

    assert spec["usermeta"]["ends"] == (0, 5.0)
    assert [each["name"] for each in spec["data"]["values"]] == ["Oskelan", "Oskelan 2"]
    assert "held" not in [each["name"] for each in spec["layer"]]


def test_a_difference_that_nothing_holds_has_no_line() -> None:
    spec = drawn(DifferenceBand(within=1.5, mean=1.7, low=None, high=None))

    assert layer(spec, "held") == []
    assert len(layer(spec, "difference")) == 1


def test_a_picture_is_said_row_by_row() -> None:
    assert bowls_text([CONTROL, COMPARED], GAP) == (
        "Oskelan, control, blind: bowls at 0.5, 1 and 1.",
        "Oskelan 2, compared: bowls at 2.5 and 3.",
        "Difference 1.7, with nine in ten -0.4 to 2.8; up to 1.5 counts as the same.",
    )
    empty = BowlRow(name="Fen", small="compared", marks=())
    single = BowlRow(name="Tarn", small="compared", marks=(2.0,))
    assert bowls_text([empty, single], None) == (
        "Fen, compared: no bowl was marked.",
        "Tarn, compared: a bowl at 2.",
    )
