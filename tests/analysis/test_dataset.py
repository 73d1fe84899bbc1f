"""Marks beside the coffees they are of."""

from crustbreak.analysis.dataset import Dataset, Rating, table_dataset
from crustbreak.domain.records.coffees import Coffee
from crustbreak.domain.records.keys import Key
from crustbreak.domain.records.tables import Flight
from crustbreak.domain.tables.entries import Entry
from crustbreak.domain.tables.state import table_state
from datasets import dataset
from tables import (
    coffees,
    entries_of,
    entry,
    event,
    full_marks,
    mark,
    place,
    straight_key,
    table,
    ten_line,
)

NAMED = coffees("Marrow Hill", "Fen Cross")


def framed(*said: Entry, key: Key | None = None, whole: bool = False) -> Dataset:
    set_out = table("Ines", "Tomas", places=2, cut_off=84.0)
    subjects = (None,) if whole else ("p1", "p2")
    state = table_state(
        set_out, said, [event(1, "table set"), event(2, "poured")], subjects=subjects
    )
    return table_dataset(set_out, state, ten_line(), key=key or straight_key(2), coffees=NAMED)


def seen(dataset: Dataset, coffee: Coffee) -> list[tuple[str, str, float | None]]:
    return [
        (rating.taster, rating.code, rating.score.total) for rating in dataset.ratings_of(coffee)
    ]


def test_every_taster_has_one_look_at_every_coffee() -> None:
    said = [
        *entries_of("s1", "p1", full_marks(8.0)),
        *entries_of("s2", "p1", full_marks(7.0)),
        *entries_of("s1", "p2", full_marks(6.0), first=100),
    ]

    dataset = framed(*said)

    assert seen(dataset, NAMED[0]) == [("Ines", "527", 86.0), ("Tomas", "527", 79.0)]
    assert seen(dataset, NAMED[1]) == [("Ines", "814", 72.0), ("Tomas", "814", None)]


def test_key_alone_says_which_coffee_a_code_was() -> None:
    crossed = Key(coffee_of={"p1": "c2", "p2": "c1"}, seed="00")

    dataset = framed(*entries_of("s1", "p1", full_marks(8.0)), key=crossed)

    assert seen(dataset, NAMED[1])[0] == ("Ines", "527", 86.0)
    assert seen(dataset, NAMED[0])[0] == ("Ines", "814", None)


def test_coffees_stand_in_the_order_typed_with_the_cut_off_fixed() -> None:
    dataset = framed()

    assert (dataset.coffees, dataset.cut_off) == (NAMED, 84.0)
    assert dataset.sheet.ref == "ten_line/1"


def test_five_bowls_are_one_look() -> None:
    ratings: tuple[Rating, ...] = framed(*entries_of("s1", "p1", full_marks(8.0))).ratings

    assert len(ratings) == 4
    assert {rating.cups for rating in ratings} == {5}


def test_call_of_a_place_or_of_the_whole_table_stands_beside_the_score() -> None:
    by_place = framed(entry(1, "call", place_id="p1", value="buy"))
    as_one = framed(entry(1, "call", place_id=None, value="decline"), whole=True)

    assert [rating.call for rating in by_place.ratings] == ["buy", None, None, None]
    assert [rating.call for rating in as_one.ratings] == ["decline", None, "decline", None]


def test_marks_after_the_hand_in_are_no_evidence() -> None:
    said = [
        *entries_of("s1", "p1", full_marks(8.0)),
        entry(100, "hand_in"),
        *entries_of("s1", "p1", [mark("flavor", 6.0)], first=101),
    ]

    assert framed(*said).ratings[0].score.total == 86.0


def test_a_lot_is_found_on_the_earlier_tables_at_which_it_stood() -> None:
    first = dataset({"Tarn": {"Ines": 84.0}, "Fen": {"Ines": 83.0}}, lots={"Tarn": "t", "Fen": "f"})
    other = dataset({"Tarn": {"Ines": 84.0}}, lots={"Tarn": "u"})
    today = dataset(
        {"Tarn": {"Ines": 85.0}, "Moss": {"Ines": 80.0}},
        history=(first, other),
        lots={"Tarn": "t"},
    )
    tarn, moss = today.coffees

    assert [(at is first, there.name) for at, there in today.lots_before(tarn)] == [(True, "Tarn")]
    assert today.lots_before(moss) == ()


def test_a_look_is_of_the_bowls_that_stood_there() -> None:
    small = table(flights=(Flight(id="f1", places=(place(cups=3),)),))
    state = table_state(small, (), (), subjects=("p1",))

    (rating,) = table_dataset(
        small, state, ten_line(), key=straight_key(1), coffees=coffees("Marrow Hill")
    ).ratings

    assert (rating.cups, rating.score.bowls) == (3, (1, 2, 3))
