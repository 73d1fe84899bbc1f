from typing import Any

from crustbreak.reports.sections.blindness import blindness_texts, numbered_text

READ_AT = "2031-03-04T10:20:00.000Z"


def numbered(*places: tuple[str, tuple[str, ...]], again: str = "") -> dict[str, Any]:
    read = [{"at": READ_AT, "reason": ""}]
    if again:
        read.append({"at": READ_AT, "reason": again})
    return {
        "read": read,
        "places": [
            {"code": code, "named": True, "doubts": list(doubts)} for code, doubts in places
        ],
    }


def test_a_table_of_which_nothing_is_to_be_known_says_nothing() -> None:
    assert blindness_texts({"numbered": None, "knew": []}) == []
    assert blindness_texts({}) == []
    assert blindness_texts({"numbered": numbered(("A", ())), "knew": []}) == []


def test_says_each_doubt_once_with_all_its_places() -> None:
    told = numbered(
        ("A", ("by elimination",)), ("B", ("not checked",)), ("C", ("not checked", "another class"))
    )

    said = blindness_texts({"numbered": told})

    assert len(said) == 3
    assert said[0].startswith("A: the number could not be read; the coffee is what was left")
    assert said[1].startswith("B and C: one bowl of the row was read")
    assert said[2].startswith("C: a coffee of another class stood there")


def test_says_what_has_no_name_and_that_nothing_is_lost() -> None:
    said = blindness_texts({"numbered": numbered(("A", ("not read",)), ("B", ("mixed",)))})

    assert said[0].startswith("A: the number could not be read.")
    assert said[1].startswith("B: the row held bowls of several coffees.")
    assert all("is kept, and in nobody's evidence" in each for each in said)


def test_says_who_thought_to_know_what() -> None:
    knew = [{"taster": "Odile", "code": "A"}, {"taster": "Odile", "code": "C"}]

    assert blindness_texts({"knew": knew}) == ["Odile thought to know A and C."]


def test_says_that_numbers_were_read_again_after_the_names_and_why() -> None:
    told = numbered(("A", ()), again="A 9 was read as a 6.")

    assert blindness_texts({"numbered": told}) == [
        "The numbers were read once more on 4 March 2031, 10:20 UTC, after the names: A 9 was "
        "read as a 6."
    ]


def test_says_how_a_table_of_numbered_bowls_was_set_and_read() -> None:
    said = numbered_text({"setter": "Odile"}, numbered(("A", ()), ("B", ())))

    assert said.startswith("Odile filled bowls with numbers underneath")
    assert "shuffled dry onto 2 places" in said
    assert "first read on 4 March 2031, 10:20 UTC, after every taster had called" in said
