from dataclasses import replace
from pathlib import Path

from at_a_match import match_draft, match_lab
from at_the_table import COFFEES

from crustbreak.domain.planning.plan_request import PlanDraft
from crustbreak.ports.lab import Lab
from crustbreak.questions.match.definition import MatchAsked
from crustbreak.services.planning.bowl_counts import (
    bowls_of,
    codes_of,
    cups_of,
    rounds_of,
)


def draft(**changed: object) -> PlanDraft:
    asked: dict[str, object] = {
        "occasion": "",
        "coffees": COFFEES,
        "tasters": ("Odile",),
        "cut_off": None,
        "setter": "",
    }
    return PlanDraft(**{**asked, **changed})  # type: ignore[arg-type]


def test_as_many_bowls_as_there_is_time_for_unless_somebody_says(lab: Lab) -> None:
    many = tuple(f"Coffee {nth}" for nth in range(5))
    asked = {"coffees": many, "controls": ("Old Post",)}

    # 6 x 5 and 8 x 3 fit three rounds: common practice, no source.
    assert bowls_of(lab, "choose", draft(**asked)) == 5
    assert bowls_of(lab, "choose", draft(**asked, duplicate=True)) == 3
    assert bowls_of(lab, "choose", draft(**asked, bowls=1)) == 1


def test_codes_are_coffees_controls_and_the_double(lab: Lab) -> None:
    draft = PlanDraft(
        occasion="",
        coffees=COFFEES,
        tasters=("Odile",),
        cut_off=84.0,
        setter="Piet",
        duplicate=True,
        controls=("Old Post",),
    )

    assert codes_of(lab, "choose", draft) == 5


def test_who_tastes_fewer_codes_has_time_for_more_bowls(lab: Lab) -> None:
    twelve = tuple(f"Lot {nth}" for nth in range(12))
    asked = PlanDraft(
        occasion="", coffees=twelve, tasters=("Odile", "Anouk"), cut_off=84.0, setter="Piet"
    )

    # Three rounds of 12 x 1 and of 6 x 5 fit into 20 minutes: common practice, no source.
    assert bowls_of(lab, "choose", asked) == 1
    assert bowls_of(lab, "choose", replace(asked, share=6)) == 5


def test_bowls_of_their_own_codes_follow_from_how_sure_it_is_to_be(tmp_path: Path) -> None:
    with match_lab(tmp_path) as (lab, _):
        plans = [match_draft(asked=MatchAsked(certainty=each)) for each in (0.9, 0.95, 0.5)]

        # What is no certainty that is offered is refused elsewhere, and counted as the usual here.
        assert [bowls_of(lab, "match", each) for each in plans] == [3, 4, 3]
        assert [codes_of(lab, "match", each) for each in plans] == [6, 8, 6]
        assert [cups_of(lab, "match", each) for each in plans] == [1, 1, 1]
        assert cups_of(lab, "choose", draft()) == 5


def test_the_dry_and_wet_grounds_are_no_round_of_spoons(tmp_path: Path) -> None:
    with match_lab(tmp_path) as (lab, _):
        assert rounds_of(lab, "match") == 1
        assert rounds_of(lab, "choose") == 3
