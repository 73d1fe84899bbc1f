import re

from crustbreak.exchange.canonical_json import plain
from crustbreak.questions.choose.evidence import choice_evidence
from crustbreak.questions.choose.uncertainty_blocks import (
    bowl_blocks,
    call_blocks,
    calls_of,
    duplicate_blocks,
    found_blocks,
    known_from,
    menu_blocks,
    new_call_blocks,
    order_blocks,
    parting_blocks,
    rule_text,
    terms_of,
    warned_blocks,
)
from crustbreak.reports.blocks import Grid
from datasets import dataset
from papers import spoken, weighed


def test_every_number_of_the_picture_stands_with_how_sure_it_is() -> None:
    shown = weighed()

    said = spoken(*found_blocks(shown))

    for each in shown["sure"]["coffees"]:
        low, high = each["total"]["low"], each["total"]["high"]
        assert re.search(rf"{each['coffee']} .* {low:.1f} to {high:.1f} .*in 100", said)
    assert "Tarn lies over the cut-off." in said
    assert "relative only, since no control stood on the table" in said


def test_says_the_order_of_neighbours_one_by_one_or_in_a_row() -> None:
    shown = weighed()

    apart, in_a_row = spoken(*order_blocks(shown)), spoken(*order_blocks(shown, in_a_row=True))

    assert "- Tarn over Fen Cross: " in apart
    assert re.search(r"Tarn over Fen Cross: .+; Fen Cross over Marrow Hill: .+\.", in_a_row)


def test_of_many_coffees_only_those_told_apart_are_named() -> None:
    totals = {f"Coffee {nth}": {"Odile": 80.0 + nth % 2 / 4} for nth in range(8)}
    shown = plain(choice_evidence(dataset({"Tarn": {"Odile": 95.0}, **totals})))

    said = spoken(*order_blocks(shown))

    assert said.count("- ") == 2
    assert "- Tarn over Coffee" in said
    assert "7 other pairs of neighbours cannot be ranked" in said


def test_none_of_many_alike_is_ranked_by_name() -> None:
    totals = {f"Coffee {nth}": {"Odile": 80.0 + nth % 2 / 4} for nth in range(8)}

    said = spoken(*order_blocks(plain(choice_evidence(dataset(totals)))))

    assert "None of the 7 pairs of neighbours can be ranked" in said


def test_bad_bowls_of_many_coffees_stand_in_a_table() -> None:
    totals = {f"Coffee {nth}": {"Odile": 80.0 + nth} for nth in range(8)}

    (_, grid) = bowl_blocks(plain(choice_evidence(dataset(totals))))

    # None of 5: 1 - 0.05^(1/5) is 45 in 100, worked by hand.
    assert isinstance(grid, Grid)
    assert {("0 of 5", "45 in 100")} == {(row[1], row[3]) for row in _plain_rows(grid)}


def _plain_rows(grid: Grid) -> list[list[str]]:
    return [["".join(run.text for run in cell) for cell in row] for row in grid.rows]


def test_one_coffee_has_no_order() -> None:
    alone = plain(choice_evidence(dataset({"Tarn": {"Odile": 88.0, "Anouk": 87.0}})))

    assert order_blocks(alone) == ()


def test_a_coffee_of_which_nothing_is_known_has_no_interval() -> None:
    totals = {"Tarn": {"Odile": 88.0}, "Fen Cross": {"Odile": None}}

    said = spoken(*found_blocks(plain(choice_evidence(dataset(totals)))))

    assert "No sheet of it is complete: nothing is known." in said


def test_says_the_rule_and_every_call_beside_it() -> None:
    shown = weighed()

    said = spoken(*call_blocks(shown))

    assert rule_text(shown) == "buy from 80 in 100 over the cut-off, decline to 20 in 100"
    assert rule_text(shown) in said
    assert ["coffee", "Odile", "Anouk", "the", "rule", "says"] in [
        line.split() for line in said.splitlines()
    ]
    assert said.count("none") == 6


def test_says_how_many_bowls_may_be_bad_or_that_nobody_judged_them() -> None:
    shown = weighed()
    judged, other = shown["sure"]["coffees"][:2]
    judged["bad_bowls"] |= {"bowls": 10, "found": 1, "upper": 0.301, "exact_upper": 0.394}
    other["bad_bowls"] |= {"bowls": 0}

    said = spoken(*bowl_blocks(shown))

    assert "1 of 10 bowls tainted or faulty. Of all its bowls up to 30 in 100 may be so" in said
    assert "39 in 100 for a reader who assumes nothing" in said
    assert f"{other['coffee']}: not judged by anyone." in said


def test_says_where_tasters_part_and_nothing_where_they_do_not() -> None:
    shown = weighed()
    shown["sure"]["partings"] = [{"taster": "Odile", "coffee": "Tarn", "points": -1.26}]

    assert "Odile has Tarn 1.3 points lower than the rest" in spoken(*parting_blocks(shown))
    shown["sure"]["partings"] = []
    assert parting_blocks(shown) == ()


def test_lists_what_was_weighed_and_nothing_where_all_is_settled() -> None:
    trial = {"say": "two more tasters", "coffees": ["Tarn"], "minutes": 92.4, "saved": 0.114}

    said = spoken(*menu_blocks({"next_test": {"regret": 0.2, "menu": [trial]}}))

    assert "Tests that were weighed for Tarn" in said
    assert re.search(r"two more tasters +92 min +0\.11 of 0\.20", said)
    assert menu_blocks({"next_test": {"regret": 0.0, "menu": []}}) == ()
    assert menu_blocks({"next_test": None}) == ()


def test_lists_in_money_what_was_weighed() -> None:
    trial = {
        "say": "two more tasters",
        "coffees": ["Tarn"],
        "minutes": 92.4,
        "saved": 0.114,
        "gain": 418.0,
        "cost": 123.0,
    }
    stakes = {"currency": "USD", "point_worth": 5.0, "hour_cost": 40.0, "per_point": [200.0]}
    following = {"regret": 0.2, "loss": 722.0, "stakes": stakes, "menu": [trial]}

    said = spoken(*menu_blocks({"next_test": following}))

    assert re.search(r"two more tasters +92 min +USD 420 of USD 720 +USD 120", said)
    assert "a point is worth 5 % of the price" in said


def test_says_at_what_price_how_much_is_offered() -> None:
    shown = weighed()
    assert terms_of(shown) == {}
    shown["currency"] = "USD"
    shown["coffees"][0] |= {"price": 7.25, "kilos": 600.0}

    first, *others = terms_of(shown).values()

    assert first == "USD 7.25 a kilo, 600 kg"
    assert set(others) == {""}
    assert "USD 7.25 a kilo, 600 kg" in spoken(*call_blocks(shown))
    assert "no price" in spoken(*call_blocks(shown))


def test_warns_and_says_what_it_is_known_from() -> None:
    shown = weighed()
    shown["sure"]["warnings"] = ["One taster: one taste."]

    assert spoken(*warned_blocks(shown)) == "! One taster: one taste."
    assert "Known from 6 looks today and what is assumed before the first table" in spoken(
        known_from(shown)
    )
    shown["sure"] |= {"tables_before": 1, "looks_before": 12}
    assert "Known from 6 looks today and 12 at 1 earlier table." in spoken(known_from(shown))


def test_says_which_calls_were_changed_once_the_names_were_known() -> None:
    shown = weighed()
    assert new_call_blocks(shown) == ()

    taster = shown["coffees"][0]["tasters"][0]
    taster |= {"call": "buy", "new_calls": [{"word": "decline", "reason": "Too dear."}]}

    said = spoken(*new_call_blocks(shown))
    assert said == (
        f"- {taster['taster']} called Tarn buy by code, and since the names are known decline: "
        "Too dear."
    )


def test_says_both_calls_of_a_coffee_that_stood_twice_and_how_alike_it_was() -> None:
    ratings = [
        {"taster": "Ines", "call": "buy"},
        {"taster": "Wren", "call": None},
        {"taster": "Ines", "call": "decline"},
        {"taster": "Wren", "call": "buy"},
    ]

    assert calls_of({"tasters": ratings}, ["Ines", "Wren"]) == ["buy / decline", "none / buy"]
    assert calls_of({"tasters": []}, ["Ines"]) == ["none"]
    duplicate = {"coffee": "Tarn", "codes": ["1", "2"], "apart": [], "within": None}
    assert spoken(*duplicate_blocks({"doubles": [duplicate]})).startswith("- Tarn stood twice")
    assert duplicate_blocks({}) == ()


def test_two_codes_stand_beside_the_picture_whole() -> None:
    shown = weighed()
    shown["coffees"][0]["code"] = "204 and 417"

    chart = found_blocks(shown)[1]

    assert [row["small"].split(";")[0] for row in chart.drawn["wide"]["data"]["values"]] == [
        "204 and 417",
        "stood as 528",
        "stood as 529",
    ]
