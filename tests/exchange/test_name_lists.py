"""Names as people paste them."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crustbreak.domain.planning.plan_request import Terms
from crustbreak.domain.records.coffees import Coffee
from crustbreak.exchange.name_lists import (
    LONGEST,
    file_name,
    read_names,
    read_offers,
    write_offers,
)


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("", ()),
        ("  \n\t\n", ()),
        ("Marrow Hill", ("Marrow Hill",)),
        ("Marrow Hill\nFen Cross\n", ("Marrow Hill", "Fen Cross")),
        ("Marrow Hill\r\nFen Cross\rTarn", ("Marrow Hill", "Fen Cross", "Tarn")),
        (
            "- Marrow Hill\n* Fen Cross\n\u2022 Tarn\n\u00b7 Sallow",
            ("Marrow Hill", "Fen Cross", "Tarn", "Sallow"),
        ),
        ("  Marrow \t Hill\u00a0 ", ("Marrow Hill",)),
        ("-\n*", ()),
        ("Fen-Cross - late", ("Fen-Cross - late",)),
        ("12 Tarn\n12 Tarn", ("12 Tarn", "12 Tarn")),
    ],
)
def test_names_stand_one_a_line(text: str, names: tuple[str, ...]) -> None:
    assert read_names(text) == names


@given(st.text())
def test_names_read_once_are_read_the_same_again(text: str) -> None:
    names = read_names(text)

    assert read_names("\n".join(names)) == names
    assert all(name == " ".join(name.split()) != "" for name in names)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Decision memo: Harbour offers", "decision-memo-harbour-offers.pdf"),
        ("../../etc/passwd", "etc-passwd.pdf"),
        ("\u8863\u7d22", "paper.pdf"),
        ('a"; x=\r\nb', "a-x-b.pdf"),
    ],
)
def test_a_files_name_is_plain(text: str, name: str) -> None:
    assert file_name(text, "pdf") == name


@given(st.text())
def test_no_text_gives_a_name_that_a_system_refuses(text: str) -> None:
    name = file_name(text, "pdf")

    assert name.isascii()
    assert len(name) <= LONGEST + len(".pdf")
    assert not set(name) & set('/\\:*?"<>|\r\n')


@pytest.mark.parametrize(
    ("line", "name", "terms"),
    [
        ("Tarn", "Tarn", Terms()),
        ("- Tarn; 7,25; 600", "Tarn", Terms(price=7.25, kilos=600.0)),
        ("Tarn\t7.25\t1 200 kg", "Tarn", Terms(price=7.25, kilos=1200.0)),
        ("Tarn;;60", "Tarn", Terms(kilos=60.0)),
        ("Tarn; 8", "Tarn", Terms(price=8.0)),
        # Could be twelve hundred kilos, or a little more than one.
        ("Tarn; 8; 1,200", "Tarn", Terms(price=8.0, unread=("1,200",))),
        ("Tarn; USD 8; -3", "Tarn", Terms(unread=("USD 8", "-3"))),
        ("Tarn; 8; 60; 3", "Tarn", Terms(price=8.0, kilos=60.0, unread=("3",))),
        ("; 8; 60", "", Terms(price=8.0, kilos=60.0)),
    ],
)
def test_a_price_and_kilos_may_follow_a_name(line: str, name: str, terms: Terms) -> None:
    assert read_offers(f"\n{line}\n\t\n") == ((name, terms, 1),)


def test_a_pasted_list_keeps_its_order() -> None:
    read = read_offers("Tarn\t8\nFen\r\nHask; 7")

    assert [name for name, _, _ in read] == ["Tarn", "Fen", "Hask"]


@pytest.mark.parametrize(
    ("text", "classes"),
    [
        ("Tarn\nFen\n---\nHask", [("Tarn", 1), ("Fen", 1), ("Hask", 2)]),
        ("Tarn\n  ------  \nFen\n---\n---\n\nHask", [("Tarn", 1), ("Fen", 2), ("Hask", 3)]),
        # A class without a coffee is none, wherever it stands.
        ("---\nTarn\n---\n", [("Tarn", 1)]),
        # What a phone makes of two dashes, and of three.
        ("Tarn\n\u2014\nFen\n\u2014-\nHask", [("Tarn", 1), ("Fen", 2), ("Hask", 3)]),
        # Marks of a list, which begin no class.
        ("- Tarn\n-\n--\n- Fen\n---Hask", [("Tarn", 1), ("Fen", 1), ("Hask", 1)]),
    ],
)
def test_a_line_of_dashes_begins_the_next_class(text: str, classes: list[tuple[str, int]]) -> None:
    assert [(name, nth) for name, _, nth in read_offers(text)] == classes


@given(
    st.lists(
        st.builds(
            Coffee,
            id=st.just("c"),
            name=st.from_regex(r"[A-Z][a-z]{1,8}( [0-9]{1,3})?", fullmatch=True),
            price=st.none() | st.integers(1, 10**6).map(lambda cents: cents / 100),
            kilos=st.none() | st.integers(1, 10**6).map(lambda kilos: kilos / 100),
        ),
        max_size=6,
    )
)
def test_coffees_are_read_as_they_were_written(coffees: list[Coffee]) -> None:
    classed = [replace(each, order_class=1 + nth // 2) for nth, each in enumerate(coffees)]

    read = read_offers(write_offers(classed))

    assert [(name, terms.price, terms.kilos, nth) for name, terms, nth in read] == [
        (each.name, each.price, each.kilos, each.order_class) for each in classed
    ]
