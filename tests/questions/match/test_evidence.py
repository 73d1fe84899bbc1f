"""What bowls held against an open one say, and that they never say more."""

from dataclasses import asdict, replace
from typing import Any

import pytest

from bowls import bowls, table_of
from crustbreak.exchange.canonical_json import plain
from crustbreak.questions.match.evidence import (
    BowlFinding,
    BowlMark,
    Held,
    MatchEvidence,
    TasterCall,
    match_evidence,
)
from match_papers import evidence_data

CLOSE, FAR = (0.5, 1.0, 0.5), (3.0, 3.5, 3.0)


def test_bowls_that_part_clearly_are_different_and_which_way_is_said() -> None:
    found = match_evidence(bowls(CLOSE, FAR, way="worse"))

    assert found.suggestion == "different, worse"
    # By hand: 9.5 / 3 - 2 / 3, and one of the twenty ways in which six give three.
    assert found.difference == pytest.approx(2.5)
    assert (found.chance, found.ways, found.is_exact) == (0.05, 20, True)
    assert (found.worse, found.better) == (3, 0)
    assert found.within_chance is not None
    assert found.within_chance < 0.05


def test_bowls_that_nothing_parts_are_the_same_within_d() -> None:
    found = match_evidence(bowls(CLOSE, CLOSE))

    assert found.suggestion == "same within d"
    assert found.within_chance is not None
    assert found.within_chance >= found.claimed == 0.95
    assert found.more is None


def test_what_cannot_be_told_says_how_many_more_bowls_would_tell() -> None:
    found = match_evidence(bowls((0.0, 1.5, 0.5), (1.0, 2.5, 1.5)))

    assert found.suggestion == "cannot tell yet"
    assert found.more in (7, 14, 21, 28)


def test_a_coffee_nearer_to_the_open_bowl_than_the_control_is_not_different() -> None:
    found = match_evidence(bowls(FAR, CLOSE))

    assert found.suggestion == "same within d"
    assert found.chance == 1.0


def test_a_second_look_counts_both_sittings_at_half_the_level() -> None:
    first = bowls((0, 1.5, 0.5), (1.0, 2.5, 1.5), id="t1")
    second = bowls(CLOSE, FAR, id="t2", follows="t1", history=(first,), way="worse")

    found = match_evidence(second)

    assert (found.look, found.level, found.claimed, found.ways) == (2, 0.025, 0.975, 400)
    assert [bowl.sitting for bowl in found.bowls].count(1) == 6
    # By hand: the mean of 1 and 2.5.
    assert found.difference == pytest.approx((1.0 + 2.5) / 2)


def test_three_and_three_cannot_be_different_where_it_is_to_be_surer() -> None:
    found = match_evidence(bowls(CLOSE, FAR, asked={"certainty": 0.99}))

    assert found.suggestion == "cannot tell yet"
    assert any("luck cannot be ruled out" in said for said in found.warnings)


def test_one_taster_s_answer_is_that_taster_s_and_several_speak_for_their_like() -> None:
    alone = match_evidence(bowls(CLOSE, FAR))
    several = match_evidence(bowls(CLOSE, FAR, tasters=("Odile", "Anouk", "Bram")))

    assert alone.whose == "to Odile"
    assert several.whose == "to tasters like these"
    assert several.tasters == ("Odile", "Anouk", "Bram")
    # The same six bowls: chance has dealt them out once.
    assert several.ways == 20


def test_words_are_those_of_the_sheet() -> None:
    found = match_evidence(bowls(CLOSE, FAR, way="neither"))

    mark = next(bowl for bowl in found.bowls if bowl.is_candidate).marks[0]
    assert mark == BowlMark(taster="Odile", value=3.0, direction="neither", differs="", notes=())
    assert found.calls == (TasterCall(taster="Odile", word="cannot tell yet"),)
    assert found.suggestion == "different"


def test_a_bowl_that_one_did_not_mark_is_said_and_the_rest_counts() -> None:
    found = match_evidence(table_of({"Odile": ((0.5, None, 0.5), FAR)}))

    assert found.difference == pytest.approx(19 / 6 - 0.5, abs=1e-4)
    assert found.warnings[0] == "1 bowl was not marked by somebody; the rest counts."


@pytest.mark.parametrize(
    "marks",
    [
        {},
        {"Odile": ((None,) * 3, (None,) * 3)},
        {"Odile": (CLOSE, (None,) * 3)},
        {"Odile": ((), FAR)},
    ],
    ids=str,
)
def test_nothing_to_compare_is_said_and_is_no_answer(marks: dict[str, Any]) -> None:
    found = match_evidence(table_of(marks))

    assert found.suggestion == "cannot tell yet"
    assert (found.difference, found.sure, found.within_chance, found.more) == (None,) * 4


@pytest.mark.parametrize("value", [0.0, 5.0])
def test_marks_that_are_all_alike_are_the_same(value: float) -> None:
    found = match_evidence(bowls((value,) * 3, (value,) * 3))

    assert found.suggestion == "same within d"
    assert found.chance == 1.0


def test_a_bowl_that_was_spilt_has_no_look_and_the_others_are_dealt_out() -> None:
    dataset = bowls(CLOSE, FAR)

    found = match_evidence(replace(dataset, ratings=dataset.ratings[1:]))

    # Three of five can be chosen in ten ways.
    assert found.ways == 10
    assert found.suggestion == "cannot tell yet"


def test_without_priors_only_what_can_be_counted_is_said() -> None:
    found = match_evidence(bowls(CLOSE, FAR, priors=None))

    assert (found.sure, found.within_chance, found.own_error) == (None, None, None)
    assert found.suggestion == "different"


def test_evidence_is_the_same_each_time_and_has_what_the_papers_read() -> None:
    found = match_evidence(bowls(CLOSE, FAR))

    assert found == match_evidence(bowls(CLOSE, FAR))
    assert isinstance(found, MatchEvidence)
    assert isinstance(found.sure, Held)
    assert isinstance(found.bowls[0], BowlFinding)
    # Made by hand for the tests of the papers: it has no field that evidence lacks.
    assert set(evidence_data()) <= set(plain(found)) == set(asdict(found))


def test_a_look_whose_first_table_is_gone_is_a_further_look_all_the_same() -> None:
    found = match_evidence(bowls(CLOSE, FAR, id="t2", follows="long ago"))

    assert (found.look, found.level) == (2, 0.025)
    assert found.suggestion == "cannot tell yet"


def test_bowls_that_could_not_be_read_are_not_counted_out_of_the_next_plan() -> None:
    found = match_evidence(bowls((0.0, 0.5), (3.0, 3.5)))

    assert found.suggestion == "cannot tell yet"
    # Three of each and the open one, as the plan takes them.
    assert found.more is not None
    assert found.more % 7 == 0
