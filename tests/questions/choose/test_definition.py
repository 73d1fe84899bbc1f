"""What `choose` puts on a table before anybody decides otherwise."""

from crustbreak.domain.planning.layout.places import PlaceDraft
from crustbreak.domain.planning.plan_request import score_range
from crustbreak.domain.question import Question
from crustbreak.domain.sheets.scoring import name_class
from crustbreak.questions.choose.definition import CHOOSE
from tables import ten_line


def offered_class(question: Question) -> str | None:
    return name_class(question.cut_off, ten_line())


def test_the_bowls_of_each_coffee_stand_under_one_code() -> None:
    assert CHOOSE.layout.places(("c1", "c2"), 5) == (
        PlaceDraft(coffee_id="c1", cups=5),
        PlaceDraft(coffee_id="c2", cups=5),
    )


def test_it_is_tasted_on_the_shipped_sheet_with_its_own_bowls() -> None:
    sheet = ten_line()

    assert CHOOSE.sheet == sheet.ref
    # At least five cups of a sample: [S1]. Fewer: common practice, no source.
    assert CHOOSE.layout.bowls == (sheet.cups, 3, 1)
    assert {draft.cups for draft in CHOOSE.layout.places(("c1",), 3)} == {3}


def test_offered_cut_off_is_where_specialty_begins() -> None:
    least, most = score_range(ten_line())

    assert least <= CHOOSE.cut_off <= most
    # 80 points. Source: [S1].
    assert CHOOSE.cut_off == 80.0
    assert offered_class(CHOOSE) == "very good"


def test_verdicts_are_three_words_each_coffee_gets_one_of() -> None:
    assert CHOOSE.verdicts == ("buy", "look again", "decline")
    assert CHOOSE.each_coffee
    assert (CHOOSE.least_coffees, CHOOSE.most_coffees) == (3, 14)
