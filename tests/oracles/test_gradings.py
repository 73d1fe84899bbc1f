"""What the public gradings are, before anything of ours is measured by them."""

from gradings import BOWL_LINES, gradings, real_coffees


def test_all_gradings_are_read() -> None:
    # Source: [S2], number of rows.
    assert len(gradings()) == 1339


def test_ten_lines_add_up_to_the_printed_total_on_all_rows_but_two() -> None:
    """Each line is printed to two places, so ten of them may be off by ten halves of 0.01."""
    detectable_difference = [abs(sum(each.lines.values()) - each.total) for each in gradings()]

    assert sum(gap < 0.06 for gap in detectable_difference) == 1337
    # Source: [S2]; these two printed totals do not follow from their own lines.
    assert sorted(round(gap, 2) for gap in detectable_difference if gap >= 0.06) == [0.1, 0.5]


def test_six_gradings_can_be_written_by_one_taster() -> None:
    totals = [coffee.total for coffee in real_coffees()]

    assert totals == [84.75, 82.25, 81.25, 81.0, 80.0, 79.0]


def test_what_was_given_is_numbers_only() -> None:
    coffees = real_coffees()

    assert all(type(number) is float for coffee in coffees for number in coffee.given.values())
    assert all(coffee.given[line] % 1 == 0 for coffee in coffees for line in BOWL_LINES)
