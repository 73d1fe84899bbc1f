"""What a question can do beside being asked, and how its coffees become bowls."""

from dataclasses import replace

import pytest

from crustbreak.domain.capabilities import (
    Capability,
    FollowUp,
    HiddenControl,
    HiddenDuplicate,
    LabelledControl,
    Layout,
    LotHistory,
    NamedRoles,
    OtherChecks,
    SharedCodes,
    SingleCups,
    TwoStages,
)
from crustbreak.domain.planning.plan_request import PlanDraft
from crustbreak.domain.records.asked import NOTHING_ASKED

DRAFT = PlanDraft(
    occasion="", coffees=("Tarn", "Fen"), tasters=("Odile",), cut_off=80.0, setter="Piet"
)
TWO_STAGES = TwoStages(most_offers=48, goes_on="taste again", stays="decline")
EVERY = (
    FollowUp(),
    HiddenControl(),
    HiddenDuplicate(),
    LabelledControl(),
    LotHistory(),
    NamedRoles(titles=("Old", "New")),
    OtherChecks(score_sheet="ten_line/1"),
    TWO_STAGES,
)
SINGLE = SingleCups(bowls=(4, 3), usual=lambda _: 3)


@pytest.mark.parametrize("each", [Capability(), *EVERY])
def test_does_nothing_to_a_draft_that_asks_for_nothing(each: Capability) -> None:
    assert each.extra_coffees(DRAFT) == ()
    assert not each.is_twice(DRAFT)
    assert each.check(DRAFT) == ()


def test_a_control_stands_there_where_it_is_named() -> None:
    named = replace(DRAFT, controls=("Oskelan", "Sallow"))

    assert HiddenControl().extra_coffees(named) == ("Oskelan", "Sallow")
    assert HiddenDuplicate().extra_coffees(named) == ()


def test_a_duplicate_stands_there_where_it_is_asked_for() -> None:
    asked = replace(DRAFT, duplicate=True)

    assert [each.is_twice(asked) for each in (HiddenDuplicate(), HiddenControl())] == [True, False]


def test_a_labelled_control_is_one_bowl_and_nothing_else_is_open() -> None:
    assert [each.open_places() for each in EVERY] == [0, 0, 0, 1, 0, 0, 0, 0]


@pytest.mark.parametrize(
    ("layout", "cups", "codes", "each", "text"),
    [
        # Three bowls of two coffees: two codes of three, or six of one.
        (SharedCodes(bowls=(5, 3)), [3, 3], 2, 0, "3 bowls a code"),
        (SINGLE, [1] * 6, 6, 3, "3 bowls of each coffee under codes of their own"),
    ],
)
def test_a_layout_makes_bowls_and_codes(
    layout: Layout, cups: list[int], codes: int, each: int, text: str
) -> None:
    places = layout.places(("a", "b"), 3)

    assert [place.cups for place in places] == cups
    assert [place.coffee_id for place in places] == sorted(place.coffee_id for place in places)
    assert (layout.codes(2, 3), layout.codes_each(3, opened=0)) == (codes, each)
    assert layout.cups(3) == cups[0]
    assert layout.text(3, opened=0) == text


def test_an_open_bowl_is_said_and_counts_as_a_code_of_its_coffee() -> None:
    assert SINGLE.text(3, opened=1).endswith("and one open")
    assert SINGLE.codes_each(3, opened=1) == 4


def test_bowls_go_by_time_or_by_what_is_asked() -> None:
    assert SharedCodes().usual_bowls(NOTHING_ASKED) is None
    assert SINGLE.usual_bowls(NOTHING_ASKED) == 3


def test_two_stages_have_words_of_their_own() -> None:
    assert (TWO_STAGES.goes_on, TWO_STAGES.stays) == ("taste again", "decline")
