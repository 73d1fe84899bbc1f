from crustbreak.reports.sections.controls import (
    apart_text,
    control_text,
    duplicate_text,
    stood_text,
)


def test_says_how_alike_a_coffee_was_tasted_that_stood_twice() -> None:
    apart = [{"taster": "Ines", "points": 0.25}, {"taster": "Wren", "points": None}]
    each = {"coffee": "Tarn", "codes": ["204", "417"], "apart": apart, "within": 1.26}

    assert duplicate_text(each) == (
        "Tarn stood twice, as 204 and 417: Ines 0.25 apart, Wren: a sheet is open. Two looks of "
        "one taster lie within 1.3 of each other nine times in ten."
    )
    assert duplicate_text({**each, "within": None}).endswith(f"{apart_text('Wren', None)}.")


def test_says_how_the_control_came_out() -> None:
    each = {
        "coffee": "Old Post",
        "code": "204",
        "today": 83.125,
        "usual": 83.0,
        "least": 82.5,
        "most": 83.5,
        "tables": 1,
    }

    assert control_text(each) == (
        "Control: Old Post, as 204, 83.13 today; at 1 earlier table 83.00 on average, 82.50 to "
        "83.50."
    )
    first = {**each, "tables": 0, "today": None}
    assert control_text(first) == (
        "Control: Old Post, as 204, no sheet complete; it stands here for the first time."
    )


def test_a_coffee_whose_place_has_no_name_is_said_to_be_so() -> None:
    lost = {"coffee": "Old Post", "code": "", "today": None, "tables": 0}

    assert stood_text("204") == "stood as 204"
    assert stood_text("") == "where it stood is not known"
    assert control_text(lost) == (
        "Control: Old Post, where it stood is not known, no sheet complete; it stands here for the "
        "first time."
    )
