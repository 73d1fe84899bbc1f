"""What the page of a screening says."""

from dataclasses import replace

from crustbreak.analysis.screening import Ranking, Stood
from crustbreak.analysis.uncertainty import Interval
from crustbreak.domain.records.coffees import Coffee
from crustbreak.reports.sections.screening import (
    MOST_DRAWN,
    drop_of_best_text,
    held_text,
    ranking_blocks,
)
from papers import spoken


def stood(nth: int) -> Stood:
    mean = 87.0 - nth
    return Stood(
        coffee=Coffee(id=f"c{nth}", name=f"Offer {nth}"),
        total=Interval(
            mean=mean, low=mean - 2, high=mean + 2, inner_low=mean - 1, inner_high=mean + 1
        ),
        over=0.5,
        best=0.1,
        sheets=None if nth == 1 else mean + 0.5,
    )


RANKING = Ranking(
    coffees=tuple(stood(nth) for nth in range(12)),
    best=3,
    held=(0.0, 0.0, 0.21, 0.5, 0.756, *(1.0,) * 7),
    sheets=86.93,
    again=85.71,
    bowls=0.3,
    warnings=(),
)


def test_says_how_surely_the_best_are_among_the_first() -> None:
    assert held_text(RANKING, 5) == "With 76 in 100 the best 3 of these are among the first 5."
    assert (
        held_text(replace(RANKING, best=1, held=(0.4,)), 1)
        == "With 40 in 100 the best of these is the first one."
    )


def test_says_what_is_lost_when_the_best_are_tasted_again() -> None:
    said = drop_of_best_text(RANKING)

    # 86.93 less 85.71 is 1.22, and 0.92 without the bad bowls.
    assert said.startswith("The first 3 average 86.9 on their sheets.")
    assert "expect 85.7: 0.9 less because what comes out best was also lucky" in said
    assert said.endswith("and 0.3 less because bad bowls may yet come.")
    assert drop_of_best_text(replace(RANKING, sheets=None)) == ""
    assert "The first one has 86.9 on its sheets" in drop_of_best_text(replace(RANKING, best=1))


def test_draws_the_front_and_says_what_lacks_a_sheet() -> None:
    said = spoken(*ranking_blocks(RANKING, cut_off=84.0))

    assert f"Offer {MOST_DRAWN - 1}" in said
    assert f"Offer {MOST_DRAWN}" not in said
    assert "no sheet complete" in said
