"""What was noted of single bowls, in whatever order it came."""

from dataclasses import replace
from math import nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.domain.tables.bowl_facts import (
    FACT_KINDS,
    Bowls,
    Fact,
    bowls_state,
    check_fact,
    fact_of,
    judged_bowls,
    pour_moment,
)
from crustbreak.domain.tables.entries import Event, EventKind
from tables import after, fact, table


def folded(*events: Event, poured: float | None = 0) -> Bowls:
    at = None if poured is None else after(poured)
    return bowls_state(table("Ines", places=1), events, poured_at=at)


def kinds(bowls: Bowls, cup: int = 1) -> set[str]:
    return set(bowls.of(("p1", cup)))


@st.composite
def notes(draw: st.DrawFn) -> list[Event]:
    """Draw what two helpers noted and took back, every number once."""
    numbers = draw(st.lists(st.tuples(st.integers(1, 2), st.integers(1, 6)), unique=True))
    said = []
    for grip, no in numbers:
        kind: EventKind = draw(st.sampled_from([*FACT_KINDS, "bowl undone"]))
        other = draw(st.sampled_from(numbers))
        undoes = f"{other[0]}.{other[1]}" if kind == "bowl undone" else ""
        figure = draw(st.sampled_from([8.0, 9.0])) if "weighed" in kind else None
        at = draw(st.integers(-5, 400))
        said.append(
            fact(
                1,
                kind,
                at,
                cup=draw(st.integers(1, 2)),
                figure=figure,
                by=(grip, no),
                undoes=undoes,
            )
        )
    return said


@given(notes(), st.data())
def test_order_of_arrival_and_resending_change_nothing(
    said: list[Event], data: st.DataObject
) -> None:
    again = data.draw(st.lists(st.sampled_from(said), max_size=4)) if said else []
    came = data.draw(st.permutations(said + again))

    arrived = [replace(each, number=nth) for nth, each in enumerate(came, start=1)]

    assert folded(*arrived) == folded(*said)


@given(notes())
def test_nothing_noted_is_lost(said: list[Event]) -> None:
    """What was not taken back, nor said again, counts or is named as what cannot be."""
    bowls = folded(*said)

    undone = {each.detail for each in said if each.kind == "bowl undone"}
    facts = [fact_of(each) for each in said if each.kind in FACT_KINDS]
    last = {
        (each.cup, each.kind): each.name
        for each in sorted(facts, key=lambda each: each.order)
        if each.name not in undone
    }
    counted = {each.name for noted in bowls.noted.values() for each in noted.values()}
    ignored = {each.name for each in bowls.ignored}
    assert counted | ignored == set(last.values())
    assert not counted & ignored


@given(notes())
def test_what_counts_is_in_an_order_that_can_be(said: list[Event]) -> None:
    for noted in folded(*said).noted.values():
        steps = [
            noted[kind].at
            for kind in ("bowl poured", "bowl broken", "bowl skimmed")
            if kind in noted
        ]
        assert steps == sorted(steps)
        assert all(at >= after(0) for at in steps)
        if "bowl spilt" in noted:
            assert all(at <= noted["bowl spilt"].at for at in steps)


def test_a_fact_is_known_by_who_noted_it_and_its_number() -> None:
    host, helper = (
        fact_of(fact(12, "bowl broken", 9)),
        fact_of(fact(12, "bowl broken", 9, by=(2, 7))),
    )

    assert host == Fact(name="0.12", place_id="p1", cup=1, kind="bowl broken", at=after(9))
    assert host.order == (0, 12)
    assert (helper.name, helper.order) == ("2.7", (2, 7))


def test_the_last_word_on_a_bowl_counts_and_the_one_before_comes_back() -> None:
    first, second = fact(1, "dose weighed", 1, figure=8.3), fact(2, "dose weighed", 2, figure=8.9)

    both = folded(first, second)
    back = folded(first, second, fact(3, "bowl undone", 3, undoes="0.2"))

    assert both.of(("p1", 1))["dose weighed"].figure == 8.9
    assert back.of(("p1", 1))["dose weighed"].figure == 8.3


def test_taking_back_what_nobody_noted_is_a_problem_and_no_loss() -> None:
    bowls = folded(fact(1, "bowl poured", 4), fact(2, "bowl undone", 5, undoes="9.9"))

    assert kinds(bowls) == {"bowl poured"}
    assert [problem.found for problem in bowls.problems] == ["9.9"]


@pytest.mark.parametrize(
    ("events", "wrong"),
    [
        ([fact(1, "bowl poured", -3)], {"bowl poured"}),
        ([fact(1, "bowl broken", -3)], {"bowl broken"}),
        ([fact(1, "bowl poured", 90), fact(2, "bowl broken", 60)], {"bowl broken"}),
        ([fact(1, "bowl broken", 260), fact(2, "bowl skimmed", 250)], {"bowl skimmed"}),
        ([fact(1, "bowl spilt", 100), fact(2, "bowl broken", 240)], {"bowl broken"}),
        ([fact(1, "heat measured", -1, figure=60.0)], {"heat measured"}),
        ([fact(1, "dose weighed", -600, figure=8.2), fact(2, "bowl spilt", -60)], set()),
    ],
)
def test_an_impossible_order_is_told_and_kept(events: list[Event], wrong: set[str]) -> None:
    bowls = folded(*events)

    assert {each.kind for each in bowls.ignored} == wrong
    assert kinds(bowls) == {each.kind for each in events} - wrong
    assert [problem.where for problem in bowls.problems] == ["bowl 1 of 527"] * len(wrong)


def test_before_the_first_pour_only_a_dose_and_a_spill_can_be_noted() -> None:
    said = [
        fact(nth, kind, 10, figure=50.0 if kind.endswith(("weighed", "measured")) else None)
        for nth, kind in enumerate(FACT_KINDS, start=1)
    ]

    assert kinds(folded(*said, poured=None)) == {"dose weighed", "bowl spilt"}


def test_a_bowl_is_poured_as_noted_else_by_the_course() -> None:
    at_table, noted = table("Ines"), {"bowl poured": fact_of(fact(1, "bowl poured", 77))}

    assert pour_moment(at_table, noted, nth=2, poured_at=after(0)) == after(77)
    # Eight seconds a bowl: common practice, no source.
    assert pour_moment(at_table, {}, nth=2, poured_at=after(0)) == after(16)
    assert pour_moment(at_table, noted, nth=2, poured_at=None) is None


def test_a_spilt_bowl_leaves_its_place_with_fewer_to_judge() -> None:
    bowls = folded(fact(1, "bowl spilt", 30, cup=2), fact(2, "bowl spilt", 40, cup=5))

    assert judged_bowls(table("Ines", places=2), bowls) == {
        "p1": (1, 3, 4),
        "p2": (1, 2, 3, 4, 5),
    }


@pytest.mark.parametrize(
    ("kind", "place_id", "cup", "figure"),
    [
        ("bowl danced", "p1", 1, None),
        ("bowl poured", "p9", 1, None),
        ("bowl poured", None, None, None),
        ("bowl poured", "p1", 6, None),
        ("dose weighed", "p1", 1, None),
        ("dose weighed", "p1", 1, nan),
        ("water weighed", "p1", 1, 99999.0),
        ("heat measured", "p1", 1, 101.0),
    ],
)
def test_names_what_is_no_fact_of_a_bowl(
    kind: str, place_id: str | None, cup: int | None, figure: float | None
) -> None:
    assert check_fact(table("Ines"), kind, place_id=place_id, cup=cup, figure=figure)


@pytest.mark.parametrize("kind", FACT_KINDS)
def test_takes_every_kind_of_fact(kind: str) -> None:
    assert check_fact(table("Ines"), kind, place_id="p1", cup=5, figure=60.0) == ()
