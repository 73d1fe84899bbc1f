"""The paper sheets: read back by a library of their own (pypdf)."""

import re
from typing import Any

import pytest

from crustbreak.domain.sheets.definition import read_sheet
from crustbreak.reports.cards.cards import PageSize
from crustbreak.reports.cards.tasting_sheet import PaperSeat, PaperSheets, abreast, paper_sheets_pdf
from prints import (
    PRINTED,
    VERDICTS,
    assert_for_archive_and_reader,
    drawn,
    page_count,
    pages,
    paper_sheets,
    size_mm,
    snapshot,
)
from tables import difference, ten_line, ten_line_definition

FIVE = ("606", "909", "204", "831", "527")
EIGHT = (*FIVE, "348", "719", "162")
LINES = [line.title for line in ten_line().lines if line.kind != "words"]


def printed(*tasters: str, codes: tuple[str, ...] = FIVE, **changed: Any) -> bytes:
    return paper_sheets_pdf(paper_sheets(codes, *(tasters or ("Odile",)), **changed))


def test_asks_every_line_in_the_order_of_the_rounds_with_all_codes_beside_it() -> None:
    said = " ".join(pages(printed()))

    where = [said.index(title) for title in LINES]
    assert where == sorted(where)
    rounds = [said.index(f"{each.title} {each.say}") for each in ten_line().rounds]
    assert rounds == sorted(rounds)
    # Beside each of four rounds, and beside the call.
    for code in FIVE:
        assert said.count(code) == 5


def test_has_room_to_write_every_mark_that_a_phone_can_make() -> None:
    said = " ".join(pages(printed()))

    # Seven lines of points, four notes, and five bowls for each word that is not the usual one:
    # not sweet, differs, not clean, taint, fault. Source: the form of the protocol, [S1].
    assert said.count("6 to 10, in steps of 0.25") == 7
    assert said.count("Note") == 4
    assert said.count("1 2 3 4 5") == 5 * len(FIVE)
    for usual in ("All sweet", "All alike", "All clean", "None", "taint", "fault"):
        assert len(re.findall(rf"\b{usual}\b", said)) == len(FIVE)
    for word in ("not sweet", "differs", "not clean"):
        assert f"Cross a bowl: {word}." in said
    assert "6 good, 7 very good, 8 excellent, 9 outstanding" in said


def test_takes_the_call_by_code_in_the_words_of_the_question() -> None:
    said = pages(printed())[-1]

    call = said[said.index("Call ") :]
    assert "before anybody knows a name" in call
    assert [word for word in VERDICTS if word in call] == list(VERDICTS)
    assert all(code in call for code in FIVE)


def test_takes_one_call_where_the_table_is_called_as_one() -> None:
    said = pages(printed(each_coffee=False))[-1]

    call = said[said.index("Call ") :]
    assert "the table" in call
    assert "tick one word." in call
    assert not any(code in call for code in FIVE)


def test_every_page_bears_the_taster_the_paper_code_and_its_number() -> None:
    every = pages(printed("Odile", "Anouk"))

    assert len(every) == 4
    for nth, (taster, code) in enumerate([("Odile", "2AB"), ("Anouk", "3AB")]):
        for page in (0, 1):
            said = every[2 * nth + page]
            assert taster in said
            assert f"paper code {code}" in said
            assert f"Page {page + 1} of 2" in said
            assert "table 7F3A, drawn 4 March 2031" in said


def test_says_how_it_is_typed_in_and_what_to_take_care_of() -> None:
    first = pages(printed())[0]

    assert "To type it in: on the host's page press" in first
    assert "Taste at 65 °C or below" in first
    assert "400 mg caffeine a day" in first


@pytest.mark.parametrize("size", ["a4", "letter"])
@pytest.mark.parametrize("name", ["Odile", "W" * 80, "Wilhelmina of the Lower Terrace " * 2])
def test_five_coffees_take_one_leaf_of_each_taster(size: PageSize, name: str) -> None:
    """Source: ISO 216, A4; ANSI/ASME Y14.1, letter."""
    tasters = [f"{name[:77]} {nth}" for nth in range(12)]
    pdf = paper_sheets_pdf(paper_sheets(FIVE, *tasters), size=size)

    assert page_count(pdf) == 2 * 12
    wanted = {"a4": (210, 297), "letter": (215.9, 279.4)}[size]
    assert size_mm(pdf) == pytest.approx(wanted, abs=0.2)


def test_a_larger_table_takes_more_pages_and_loses_no_code() -> None:
    every = pages(printed("Odile", codes=EIGHT))

    assert 2 < len(every) <= 4
    said = " ".join(every)
    for code in EIGHT:
        assert said.count(code) == 5
    for title in LINES:
        assert said.count(title) == 2


def test_no_leaf_belongs_to_two_tasters() -> None:
    every = pages(printed("Odile", "Anouk", codes=EIGHT[:6]))

    begins = [nth for nth, page in enumerate(every) if "Page 1 of" in page]
    assert len(begins) == 2
    assert all(nth % 2 == 0 for nth in begins)


def test_codes_are_parted_evenly_and_stay_in_their_order() -> None:
    twelve = snapshot(*(f"{nth}" for nth in range(12)))

    rows = abreast(twelve)

    assert [len(row) for row in rows] == [4, 4, 4]
    assert tuple(place for row in rows for place in row) == twelve
    assert abreast(()) == ()


def test_is_marked_for_an_archive_and_for_a_screen_reader() -> None:
    assert_for_archive_and_reader(printed(), "Paper sheets, 4 March 2031")


def test_the_same_sheets_are_the_same_bytes() -> None:
    assert printed("Odile", "Anouk") == printed("Odile", "Anouk")


@pytest.mark.parametrize(
    "name",
    [
        "#panic() $x$ *bold* _it_ `raw` @ref <label> \\ //",
        "\u8863\u7d22\u6817\u5b50\u82b1\u5b50\u82b1",
        "\u05e7\u05e4\u05d4 \u05d8\u05d5\u05d1",
        "\u0645\u062d\u0645\u062f \u0639\u0644\u064a",
        "\U0001f600 Odile",
    ],
)
def test_whatever_the_tasters_are_called_the_sheets_are_whole(name: str) -> None:
    every = pages(printed(f"{name} 0", name))

    assert len(every) == 4
    assert all("paper code" in page for page in every)
    if name.isascii():
        assert f"{name} 0".replace(" ", "") in every[0].replace(" ", "")


def test_a_house_with_other_lines_and_bowls_gets_its_sheet() -> None:
    definition = ten_line_definition()
    for line in definition["lines"]:
        if line["id"] == "flavor":
            line.update(least=0.0, most=5.0, step=1.0, anchors={0: "nothing", 5: "much"})
    # More in one round than a page holds.
    more = [
        {"id": f"more_{nth}", "title": f"More {nth}.", "kind": "scale", "round": "warm"}
        | {"least": 1.0, "most": 9.0, "step": 1.0}
        for nth in range(20)
    ]
    definition["lines"] += more
    twelve = snapshot("606", "909", cups=12)
    sheets = PaperSheets(
        printed=PRINTED,
        sheet=read_sheet(definition, name="house"),
        seats=(PaperSeat(taster="Odile", code="2AB", there=twelve, back=twelve),),
        verdicts=VERDICTS,
        each_coffee=True,
    )

    pdf = paper_sheets_pdf(sheets)

    said = " ".join(pages(pdf))
    assert "0 to 5, in steps of 1; 0 nothing, 5 much" in said
    assert "Points:" not in said
    assert all(said.count(f"More {nth}.") == 1 for nth in range(20))
    # Nothing has run off a page.
    shown = [drawn(pdf, nth) for nth in range(len(pages(pdf)))]
    assert all(0 < y < 842 for page in shown for _, _, y, _ in page.texts)
    assert said.count("12") >= 10


def test_one_bowl_is_not_asked_whether_it_differs() -> None:
    one = paper_sheets(FIVE, "Odile", cups=1)

    said = " ".join(pages(paper_sheets_pdf(one)))

    assert "Uniformity" not in said
    assert "Sweetness" in said


def test_the_words_of_a_choice_stand_under_the_scale_of_each_bowl_to_be_circled() -> None:
    six = ("606", "909", "204", "831", "527", "348")
    sheets = paper_sheets(six, "Odile", cups=1, sheet=difference(), each_coffee=False)

    every = pages(paper_sheets_pdf(sheets))

    # Six codes in two rows of three, and one leaf.
    said = " ".join(every)
    assert len(every) <= 2
    assert said.count("Where it differs: circle one.") == 4
    for word in ("better", "worse", "neither"):
        assert len(re.findall(rf"\b{word}\b", said)) == len(six)
    assert said.count("aroma flavour acidity sweetness body aftertaste off-note") == len(six)
    first = said.index("Difference 0 to 5, in steps of 0.5")
    way, most = said.index("Which way"), said.index("Differs most in")
    assert first < way < most < said.index("Note")
