"""What a table found of each coffee, worked by hand on small tables."""

import json
from collections.abc import Mapping
from dataclasses import replace
from itertools import permutations
from math import isclose, sqrt

import pytest

from crustbreak.analysis.dataset import Dataset, Rating
from crustbreak.domain.records.marks import Mark
from crustbreak.domain.sheets.scoring import score_place
from crustbreak.exchange.canonical_json import plain, write_record
from crustbreak.questions.choose.evidence import (
    BUY_FROM,
    DECLINE_TO,
    ChooseEvidence,
    CoffeeFinding,
    LineFinding,
    Suggestion,
    TasterFinding,
    choice_evidence,
)
from gradings import real_coffees
from priors import TEN_LINE
from tables import coffees, full_marks, mark, place, ten_line

HILL, CROSS, TARN = coffees("Marrow Hill", "Fen Cross", "Tarn")
Sheets = Mapping[str, Mapping[str, tuple[Mark, ...]]]


def dataset(sheets: Sheets, *, cut_off: float = 80.0) -> Dataset:
    """Give a dataset from coffee name to taster to that taster's marks."""
    typed = tuple(each for each in (HILL, CROSS, TARN) if each.name in sheets)
    ratings = tuple(
        Rating(
            taster=taster,
            coffee=coffee,
            code=f"{527 + nth}",
            cups=5,
            score=score_place(marks, ten_line(), place()),
            call=None,
        )
        for nth, coffee in enumerate(typed)
        for taster, marks in sheets[coffee.name].items()
    )
    return Dataset(sheet=ten_line(), cut_off=cut_off, coffees=typed, ratings=ratings)


def weigh(sheets: Sheets, *, cut_off: float = 80.0) -> ChooseEvidence:
    return choice_evidence(dataset(sheets, cut_off=cut_off))


def only(sheets: Mapping[str, tuple[Mark, ...]], *, cut_off: float = 80.0) -> CoffeeFinding:
    (found,) = weigh({"Marrow Hill": sheets}, cut_off=cut_off).coffees
    return found


def line(found: CoffeeFinding, title: str) -> LineFinding:
    return next(each for each in found.lines if each.title == title)


def without(line_id: str, points: float) -> tuple[Mark, ...]:
    return tuple(each for each in full_marks(points) if each.line != line_id)


def test_total_of_three_tasters_is_their_mean_and_their_spread() -> None:
    """86, 79 and 72: mean 79, deviations 7, 0, -7, so sqrt(98 / 2) = 7."""
    found = only({"Ines": full_marks(8), "Tomas": full_marks(7), "Wren": full_marks(6)})

    assert found.total is not None
    assert (found.total.count, found.total.mean) == (3, 79.0)
    assert (found.total.least, found.total.most) == (72.0, 86.0)
    assert isclose(found.total.deviation or 0, 7.0, rel_tol=1e-15)
    assert (found.title, found.over) == ("below specialty", -1.0)


def test_line_holds_every_taster_in_the_order_of_seats() -> None:
    found = only({"Ines": full_marks(8), "Tomas": full_marks(7)})

    flavor, taints = line(found, "Flavor"), line(found, "Taints and faults")

    assert flavor.points == (8.0, 7.0)
    assert flavor.spread is not None
    assert isclose(flavor.spread.deviation or 0, 1 / sqrt(2), rel_tol=1e-15)
    assert (flavor.penalty, taints.penalty) == (False, True)
    assert [each.title for each in found.lines] == [each.title for each in ten_line().scored]


def test_coffees_go_down_from_the_highest_mean() -> None:
    evidence = weigh(
        {
            "Marrow Hill": {"Ines": full_marks(7)},
            "Fen Cross": {"Ines": full_marks(9)},
            "Tarn": {"Ines": full_marks(8)},
        }
    )

    assert [found.coffee for found in evidence.coffees] == ["Fen Cross", "Tarn", "Marrow Hill"]
    assert [found.title for found in evidence.coffees] == [
        "outstanding",
        "excellent",
        "below specialty",
    ]


def test_tie_keeps_the_order_typed_and_ranks_nobody() -> None:
    evidence = weigh({"Marrow Hill": {"Ines": full_marks(8)}, "Fen Cross": {"Ines": full_marks(8)}})

    assert [found.coffee for found in evidence.coffees] == ["Marrow Hill", "Fen Cross"]
    assert evidence.coffees[0].over == evidence.coffees[1].over == 6.0


def test_one_taster_has_a_total_and_no_spread() -> None:
    found = only({"Ines": full_marks(8)})

    assert found.total is not None
    assert (found.total.mean, found.total.deviation) == (86.0, None)
    assert all(each.spread and each.spread.deviation is None for each in found.lines)


def test_tasters_who_agree_have_a_spread_of_nought() -> None:
    found = only(dict.fromkeys(("Ines", "Tomas", "Wren"), full_marks(7.25)))

    assert found.total is not None
    assert (found.total.mean, found.total.deviation) == (80.75, 0.0)


def test_open_sheet_is_out_of_the_total_and_in_its_lines() -> None:
    found = only({"Ines": full_marks(8), "Tomas": without("body", 7)})

    assert found.total is not None
    assert (found.total.count, found.total.mean) == (1, 86.0)
    assert line(found, "Body").points == (8.0, None)
    assert line(found, "Flavor").points == (8.0, 7.0)
    assert (found.tasters[1].total, found.tasters[1].missing) == (None, ("Body",))


def test_coffee_without_a_complete_sheet_has_no_number_and_stands_last() -> None:
    evidence = weigh(
        {
            "Marrow Hill": {"Ines": ()},
            "Fen Cross": {"Ines": without("body", 9)},
            "Tarn": {"Ines": full_marks(6)},
        }
    )

    assert [found.coffee for found in evidence.coffees] == ["Tarn", "Marrow Hill", "Fen Cross"]
    last = evidence.coffees[1]
    assert (last.total, last.title, last.over) == (None, None, None)
    assert line(last, "Flavor").spread is None


def test_bad_bowls_are_counted_once_however_many_flagged_them() -> None:
    found = only(
        {
            "Ines": full_marks(8, {"defects": {2: "taint", 3: "fault"}}),
            "Tomas": full_marks(8, {"defects": {3: "taint"}, "uniformity": {1: "differs"}}),
        }
    )

    assert (found.bad_bowls, found.bowls) == (2, 5)


def test_who_judged_no_bowl_for_taints_is_not_counted_as_having_found_none() -> None:
    silent = tuple(each for each in full_marks(8) if each.line != "defects")

    nobody = only({"Ines": silent})
    one = only({"Ines": silent, "Tomas": full_marks(8)})

    assert (nobody.judged, nobody.bad_bowls) == (0, 0)
    assert one.judged == 1


def test_taster_is_told_by_bowls_notes_and_call() -> None:
    flagged = {"defects": {4: "fault", 2: "taint"}, "uniformity": {4: "differs"}}
    notes = (mark("note", "tea", round="cool"), mark("note", "plum", round="smell"))

    found = only({"Ines": (*full_marks(8, flagged), *notes)})

    assert found.tasters[0] == TasterFinding(
        taster="Ines",
        code=found.code,
        total=78.0,
        missing=(),
        flagged=("bowl 4 differs", "bowl 2 taint", "bowl 4 fault"),
        notes=("plum", "tea"),
        call=None,
    )


def test_without_priors_it_is_not_computed_how_sure_and_says_so() -> None:
    evidence = weigh({"Marrow Hill": {"Ines": full_marks(8)}}, cut_off=84.5)

    assert evidence.how_sure.startswith("not computed")
    assert (evidence.sure, evidence.suggestions, evidence.next_test) == (None, (), None)
    assert (evidence.cut_off, evidence.tasters) == (84.5, ("Ines",))


@pytest.mark.parametrize(("points", "word"), [(9.5, "buy"), (7.75, "look again"), (6.0, "decline")])
def test_suggests_by_the_chance_of_lying_over_the_cut_off(points: float, word: str) -> None:
    sheets = {name: full_marks(points) for name in ("Ines", "Tomas", "Wren")}
    given = replace(dataset({"Marrow Hill": sheets}, cut_off=84.0), priors=TEN_LINE)

    evidence = choice_evidence(given)

    (suggested,) = evidence.suggestions
    assert isinstance(suggested, Suggestion)
    assert (suggested.coffee, suggested.word) == ("Marrow Hill", word)
    assert evidence.rule == (BUY_FROM, DECLINE_TO)
    assert evidence.sure is not None
    assert suggested.chance == evidence.sure.coffees[0].over
    assert evidence.next_test is not None
    assert evidence.how_sure.startswith("one taster's look")


def test_a_coffee_without_a_whole_sheet_stands_last_and_gets_no_word() -> None:
    sheets = {"Marrow Hill": {"Ines": without("body", 9)}, "Fen Cross": {"Ines": full_marks(6)}}

    evidence = choice_evidence(replace(dataset(sheets), priors=TEN_LINE))

    assert [found.coffee for found in evidence.coffees] == ["Fen Cross", "Marrow Hill"]
    assert [each.coffee for each in evidence.suggestions] == ["Fen Cross"]


def test_evidence_with_its_certainty_is_written_the_same_each_time() -> None:
    given = replace(
        dataset({"Marrow Hill": {"Ines": full_marks(8)}, "Tarn": {"Ines": full_marks(7)}}),
        priors=TEN_LINE,
    )

    text, digest = write_record(plain(choice_evidence(given)))

    assert json.loads(text)["sure"]["priors"]["look"] == [0.95, 0.35]
    assert write_record(plain(choice_evidence(given))) == (text, digest)


def test_order_of_tasters_changes_no_number() -> None:
    sheets = {"Ines": full_marks(8), "Tomas": full_marks(7.25), "Wren": without("body", 6)}

    found = [only({name: sheets[name] for name in order}) for order in permutations(sheets)]

    assert {(each.total, each.over, each.bad_bowls) for each in found} == {
        (found[0].total, found[0].over, 0)
    }
    assert len({line(each, "Flavor").spread for each in found}) == 1


@pytest.mark.parametrize("by", [0.25, 1.0, 1.5])
def test_taster_who_gives_more_on_one_line_moves_the_mean_by_their_share(by: float) -> None:
    ines = full_marks(8)
    higher = tuple(mark("body", 8 + by) if each.line == "body" else each for each in ines)

    before = only({"Ines": ines, "Tomas": full_marks(7)})
    moved = only({"Ines": higher, "Tomas": full_marks(7)})

    assert before.total is not None
    assert moved.total is not None
    assert moved.total.mean - before.total.mean == by / 2


def test_real_gradings_stand_in_the_order_of_their_printed_totals() -> None:
    """Source: [S2]; three coffees by one taster each, totals as printed."""
    six = real_coffees()
    names = ("Marrow Hill", "Fen Cross", "Tarn")

    evidence = weigh({
        name: {"Ines": full_marks(coffee.given)}
        for name, coffee in zip(names, (six[4], six[0], six[2]), strict=True)
    })  # fmt: skip

    assert [found.coffee for found in evidence.coffees] == ["Fen Cross", "Tarn", "Marrow Hill"]
    assert [found.over for found in evidence.coffees] == [4.75, 1.25, 0.0]


def test_evidence_is_written_as_json_the_same_each_time() -> None:
    sheets = {"Marrow Hill": {"Ines": full_marks(8), "Tomas": without("body", 7)}}

    text, digest = write_record(plain(weigh(sheets)))

    assert json.loads(text)["coffees"][0]["tasters"][1]["missing"] == ["Body"]
    assert write_record(plain(weigh(sheets))) == (text, digest)
