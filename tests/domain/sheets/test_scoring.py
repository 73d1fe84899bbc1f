"""What a sheet adds up to: the published protocol's arithmetic, and real printed totals."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.domain.records.marks import Mark
from crustbreak.domain.sheets.definition import Sheet, read_sheet
from crustbreak.domain.sheets.scoring import Score, name_class, score_place
from gradings import RealCoffee, real_coffees
from tables import (
    CLEAN,
    QUALITY,
    difference,
    full_marks,
    mark,
    place,
    ten_line,
    ten_line_definition,
)

USUAL = {"sweetness": "not_sweet", "uniformity": "differs", "clean_cup": "not_clean"}


def score(*marks: Mark, sheet: Sheet | None = None) -> Score:
    return score_place(marks, sheet or ten_line(), place())


def two_round_sheet() -> Sheet:
    """Give a sheet that reads hot before cool and asks flavor in the first of them."""
    definition = ten_line_definition()
    definition["lines"] = [
        line for line in definition["lines"] if line["id"] in ("flavor", "uniformity", "note")
    ]
    return read_sheet(definition, name="two.toml")


# The protocol's arithmetic, worked by hand. Source: [S1], scoring and the final score.


def test_eights_and_three_tens_are_eighty_six() -> None:
    found = score(*full_marks(8.0))

    assert (found.summed, found.penalty, found.total) == (86.0, 0.0, 86.0)
    assert found.missing == ()


def test_one_faulty_bowl_unticked_twice_costs_eight() -> None:
    """86 less 2 for uniformity, 2 for clean cup, and one bowl at intensity 4."""
    flagged = {"uniformity": {2: "differs"}, "clean_cup": {2: "not_clean"}, "defects": {2: "fault"}}

    found = score(*full_marks(8.0, flagged))

    assert (found.summed, found.penalty, found.total) == (82.0, 4.0, 78.0)
    assert found.flagged == flagged


def test_lowest_clean_sheet_is_seventy_two() -> None:
    assert score(*full_marks(6.0)).total == 72.0


def test_highest_sheet_is_a_hundred() -> None:
    assert score(*full_marks(10.0)).total == 100.0


def test_taints_cost_two_and_faults_four_a_bowl() -> None:
    flagged = {"defects": {1: "taint", 2: "taint", 4: "fault"}}

    found = score(*full_marks(8.0, flagged))

    assert found.lines["defects"] == -8.0
    assert (found.penalty, found.total) == (8.0, 78.0)


@pytest.mark.parametrize("line", sorted(USUAL))
def test_each_unticked_bowl_costs_two_points(line: str) -> None:
    flagged = {line: {1: USUAL[line], 5: USUAL[line]}}

    found = score(*full_marks(8.0, flagged))

    assert found.lines[line] == 6.0
    assert found.total == 82.0


@given(
    uneven=st.sets(st.integers(1, 5)),
    bad=st.dictionaries(st.integers(1, 5), st.sampled_from(["taint", "fault"])),
)
def test_boxes_and_defects_do_not_know_of_each_other(uneven: set[int], bad: dict[int, str]) -> None:
    boxes = {"uniformity": dict.fromkeys(uneven, "differs")}

    both = score(*full_marks(8.0, {**boxes, "defects": bad})).total
    only_boxes = score(*full_marks(8.0, boxes)).total
    only_bad = score(*full_marks(8.0, {"defects": bad})).total

    assert both == only_boxes + only_bad - 86.0


@pytest.mark.parametrize("coffee", real_coffees(), ids=lambda coffee: f"{coffee.total}")
def test_real_gradings_give_their_printed_totals(coffee: RealCoffee) -> None:
    """Source: [S2]; what each sheet adds up to was printed by the graders."""
    flagged = {
        line: dict.fromkeys(range(1, 1 + int(coffee.given[line])), word)
        for line, word in USUAL.items()
    }

    found = score(*full_marks(coffee.given, flagged))

    assert found.total == coffee.total


# Bounds of the classes. Source: [S1].
@pytest.mark.parametrize(
    ("total", "title"),
    [
        (100.0, "outstanding"),
        (90.0, "outstanding"),
        (89.99, "excellent"),
        (85.0, "excellent"),
        (84.99, "very good"),
        (80.0, "very good"),
        (79.99, "below specialty"),
        (0.0, "below specialty"),
        (-1.0, None),
        (None, None),
    ],
)
def test_classes_begin_at_their_bounds(total: float | None, title: str | None) -> None:
    assert name_class(total, ten_line()) == title


def test_score_carries_the_class_of_its_total() -> None:
    # 7 x 7.25 and three tens: 80.75. Below by one taint and one fault: 74.75.
    flagged = {"defects": {1: "taint", 2: "fault"}}

    assert score(*full_marks(7.25)).title == "very good"
    assert score(*full_marks(7.25, flagged)).title == "below specialty"


@pytest.mark.parametrize("gone", [*QUALITY, *CLEAN])
def test_missing_line_leaves_the_total_open(gone: str) -> None:
    marks = [each for each in full_marks(8.0) if each.line != gone]

    found = score(*marks)

    assert found.missing == (gone,)
    assert (found.summed, found.penalty, found.total, found.title) == (None,) * 4
    assert gone not in found.lines


def test_one_bowl_unjudged_leaves_its_line_missing() -> None:
    marks = [each for each in full_marks(8.0) if (each.line, each.cup) != ("uniformity", 3)]

    assert score(*marks).missing == ("uniformity",)


def test_word_the_sheet_does_not_know_is_no_judgement() -> None:
    marks = [each for each in full_marks(8.0) if (each.line, each.cup) != ("uniformity", 3)]

    found = score(*marks, mark("uniformity", "splendid", cup=3))

    assert found.missing == ("uniformity",)


def test_bowl_that_does_not_stand_there_is_not_counted() -> None:
    extra = mark("defects", "fault", cup=6)

    found = score(*full_marks(8.0), extra)

    assert (found.penalty, found.total) == (0.0, 86.0)
    assert found.flagged == {}


def test_nothing_marked_is_all_missing_and_no_number() -> None:
    found = score()

    assert found.missing == tuple(line.id for line in ten_line().scored)
    assert found.total is None


@pytest.mark.parametrize("turn", [1, -1])
def test_later_round_outranks_an_earlier_one_however_they_came(turn: int) -> None:
    hot = mark("flavor", 7.0, round="hot")
    cool = mark("flavor", 8.5, round="cool")

    found = score(*(hot, cool)[::turn], sheet=two_round_sheet())

    assert found.lines["flavor"] == 8.5


@pytest.mark.parametrize("turn", [1, -1])
def test_bowl_that_evened_out_is_flagged_no_more(turn: int) -> None:
    hot = [mark("uniformity", "differs", cup=2, round="hot")]
    cool = [mark("uniformity", "alike", cup=cup) for cup in range(1, 6)]

    found = score(*[*hot, *cool][::turn], sheet=two_round_sheet())

    assert found.lines["uniformity"] == 10.0
    assert found.flagged == {}


def test_mark_taken_back_is_missing_again() -> None:
    marks = [each for each in full_marks(8.0) if each.line != "body"]

    found = score(*marks, mark("body", None))

    assert found.missing == ("body",)


def test_later_look_taken_back_leaves_the_earlier_one() -> None:
    hot = mark("flavor", 7.0, round="hot")

    found = score(hot, mark("flavor", None, round="cool"), sheet=two_round_sheet())

    assert found.lines["flavor"] == 7.0


def test_notes_stand_by_round_and_cost_nothing() -> None:
    notes = [mark("note", "plum"), mark("note", "tea", round="cool")]

    found = score(*full_marks(8.0), *notes)

    assert found.notes == {"hot": "plum", "cool": "tea"}
    assert found.total == 86.0


def test_marks_of_other_places_are_not_looked_at() -> None:
    other = mark("body", 6.0, place_id="p2")

    assert score(*full_marks(8.0), other).total == 86.0


@given(points=st.lists(st.sampled_from([6 + n / 4 for n in range(17)]), min_size=7, max_size=7))
def test_quarters_add_up_exactly_in_any_order(points: list[float]) -> None:
    marks = full_marks(dict(zip(QUALITY, points, strict=True)))

    found = score(*reversed(marks))

    quarters = sum(int(4 * point) for point in points)
    assert found.total == 30 + quarters / 4


# Fewer bowls than five: what a bowl loses counts 5/3 or 5/1, by hand.


def few(bowls: int, flagged: dict[str, dict[int, str]] | None = None, points: float = 8.0) -> Score:
    marks = [each for each in full_marks(points, flagged) if (each.cup or 0) <= bowls]
    return score_place(marks, ten_line(), place(cups=bowls))


@pytest.mark.parametrize("bowls", [1, 3, 5])
def test_a_clean_sheet_is_worth_the_same_of_any_number_of_bowls(bowls: int) -> None:
    found = few(bowls)

    assert (found.summed, found.penalty, found.total) == (86.0, 0.0, 86.0)
    assert found.bowls == tuple(range(1, bowls + 1))


def test_one_of_three_bowls_loses_five_thirds() -> None:
    """2 x 5/3 each for sweetness and cleanness, and 4 x 5/3 for the fault, off 86."""
    flagged = {"sweetness": {2: "not_sweet"}, "clean_cup": {2: "not_clean"}}

    found = few(3, {**flagged, "defects": {2: "fault"}})

    assert found.lines["sweetness"] == pytest.approx(10 - 10 / 3, abs=1e-4)
    assert found.summed == pytest.approx(86 - 20 / 3, abs=2e-4)
    assert found.penalty == pytest.approx(20 / 3, abs=1e-4)
    assert found.total == pytest.approx(86 - 40 / 3, abs=3e-4)


def test_one_bowl_alone_differs_from_nothing_and_is_not_asked_to() -> None:
    marks = [each for each in full_marks(8.0) if (each.cup or 0) <= 1 and each.line != "uniformity"]
    said = mark("uniformity", "differs", cup=1)

    found = score_place([*marks, said], ten_line(), place(cups=1))

    assert (found.total, found.missing, found.flagged) == (86.0, (), {})


def test_a_bowl_that_does_not_count_takes_its_word_with_it() -> None:
    flagged = {"defects": {2: "fault", 4: "taint"}}

    found = score_place(full_marks(8.0, flagged), ten_line(), place(), bowls={1, 3, 4, 5})

    # One taint of four bowls: 2 x 5/4.
    assert (found.bowls, found.penalty, found.total) == ((1, 3, 4, 5), 2.5, 83.5)
    assert found.flagged == {"defects": {4: "taint"}}


def test_without_a_bowl_that_counts_the_lines_of_bowls_are_missing() -> None:
    found = score_place(full_marks(8.0), ten_line(), place(), bowls=())

    assert found.missing == ("sweetness", "uniformity", "clean_cup", "defects")
    assert found.total is None


# Choices: worth nothing, never missing, and told only where there is a difference.


def compared(**said: float | str | None) -> Score:
    marks = [mark(line, value, round="taste") for line, value in said.items()]
    return score_place(marks, difference(), place(cups=1))


def test_words_that_were_chosen_stand_beside_the_difference_and_are_worth_nothing() -> None:
    found = compared(difference=2.5, direction="worse", differs="off_note", note="paper")

    assert found.words == {"direction": "worse", "differs": "off_note"}
    assert (found.lines, found.total, found.missing) == ({"difference": 2.5}, 2.5, ())
    assert (found.flagged, found.notes) == ({}, {"taste": "paper"})


def test_a_choice_that_was_not_made_is_not_missing() -> None:
    found = compared(difference=5.0, direction=None)

    assert (found.words, found.total, found.missing) == ({}, 5.0, ())


@pytest.mark.parametrize("said", [{"difference": 0.0}, {"difference": None}, {}])
def test_without_a_difference_there_is_no_word_of_one(said: dict[str, float | None]) -> None:
    found = compared(**said, direction="better", differs="body")

    assert found.words == {}
    assert found.missing == (() if said.get("difference") == 0.0 else ("difference",))


def test_the_smallest_difference_has_its_words() -> None:
    assert compared(difference=0.5, direction="neither").words == {"direction": "neither"}


def test_a_word_that_the_sheet_does_not_offer_is_not_told() -> None:
    assert compared(difference=3.0, direction="sideways", differs="body").words == {
        "differs": "body"
    }


def test_a_sheet_without_choices_tells_no_words() -> None:
    assert score(*full_marks(8.0)).words == {}
