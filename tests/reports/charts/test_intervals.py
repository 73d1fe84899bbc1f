from typing import Any

from crustbreak.reports.charts.intervals import Range, draw_ranges, range_chart, range_lines

# A box and a line about the cut-off, by hand.
ROW = Range(
    name="Tarn",
    small="stood as 204; sheets 84.75",
    mean=84.9,
    low=83.8,
    high=86.0,
    inner_low=84.6,
    inner_high=85.4,
    over=0.73,
    ratings=(84.0, 85.5),
)


def drawn(*rows: Range, cut_off: float = 84.5) -> dict[str, Any]:
    specs = draw_ranges(rows, cut_off=cut_off, cut_off_said="cut-off", ends=(82.0, 88.0))
    assert list(specs) == ["wide", "paper", "narrow"]
    return specs["wide"]


def test_a_line_changes_at_the_cut_off_and_a_box_above_it_is_filled() -> None:
    (row,) = drawn(ROW)["data"]["values"]

    assert (row["low"], row["under_to"], row["over_from"], row["high"]) == (83.8, 84.5, 84.5, 86.0)
    assert "inner_under_to" not in row
    assert row["inner_over_from"] == 84.6


def test_what_lies_under_the_cut_off_has_nothing_over_it() -> None:
    (row,) = drawn(ROW, cut_off=87.0)["data"]["values"]

    assert row["under_to"] == 86.0
    assert "over_from" not in row
    assert row["inner_under_to"] == 85.4


def test_a_number_never_stands_without_how_sure_it_is() -> None:
    (row,) = drawn(ROW)["data"]["values"]

    assert (row["figure"], row["span"], row["over"]) == ("84.9", "83.8 to 86.0", "73 in 100")


def test_every_sheet_is_a_stroke() -> None:
    layer = next(layer for layer in drawn(ROW)["layer"] if layer["name"] == "looks")

    assert [each["look"] for each in layer["data"]["values"]] == [84.0, 85.5]


def test_of_what_nothing_is_known_nothing_is_drawn() -> None:
    spec = drawn(Range(name="Fen", small="stood as 101", mean=None))
    (row,) = spec["data"]["values"]

    assert (row["figure"], row["mean_drawn"], row["low"]) == ("", None, None)
    assert row["nothing"].startswith("No sheet of it is complete")


def test_totals_alone_have_their_mean_as_a_figure_and_no_dot() -> None:
    (row,) = drawn(Range(name="Fen", small="", mean=84.125, ratings=(84.0, 84.25)))["data"][
        "values"
    ]

    assert (row["figure"], row["mean_drawn"], row["over"]) == ("84.12", None, "")


def test_a_long_line_has_few_labels_on_round_points() -> None:
    specs = draw_ranges([ROW], cut_off=84.5, cut_off_said="", ends=(41.0, 90.0))

    axis = specs["wide"]["layer"][0]["encoding"]["x"]["axis"]
    assert axis["values"] == [50, 60, 70, 80, 90]


def test_says_each_row() -> None:
    nothing = Range(name="Fen", small="stood as 101", mean=None)

    assert range_lines([ROW, nothing]) == (
        "Tarn, stood as 204; sheets 84.75: 84.9, with nine in ten 83.8 to 86.0, over the cut-off "
        "with 73 in 100.",
        "Fen, stood as 101: no sheet of it is complete, nothing is known of it.",
    )
    assert range_lines([Range(name="Fen", small="x", mean=84.5)]) == ("Fen, x: mean 84.50.",)


def test_a_line_reaches_around_its_intervals() -> None:
    row = Range(name="Tarn", small="", mean=84.0, low=79.4, high=88.2, ratings=(84.0,))

    chart = range_chart("Totals", [row], {"cut_off": 84.0})

    assert chart.title == "Totals, on a line from 78 to 90 points; the cut-off is at 84.00"
