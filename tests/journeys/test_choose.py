"""The main job in a real browser: six real coffees, typed by thumb, come out as printed."""

from collections.abc import Callable

import pytest
from in_the_browser import (
    SheetToType,
    decide,
    enter,
    fill_in,
    hand_in_and_call,
    join,
    plan,
    set_by_the_card,
)
from playwright.sync_api import BrowserContext, Page, expect

from gradings import BOWL_LINES, RealCoffee, real_coffees
from served_lab import ServedLab

# The totals that the public gradings print, [S2]; six coffees, three to a table.
PRINTED = (("84.75", "82.25", "81.25"), ("81.00", "80.00", "79.00"))
NAMES = ("Marrow Hill", "Sallow Bridge", "Fen Cross")


def to_type(coffee: RealCoffee) -> SheetToType:
    flags = {
        line: dict.fromkeys(range(1, int(coffee.given[line]) + 1), 1)
        for line in (*BOWL_LINES, "defects")
    }
    points = {line: value for line, value in coffee.given.items() if line not in flags}
    return SheetToType(points=points, flags=flags, note="typed as printed")


def run_the_table(
    laptop: Page, phone: Page, lab: ServedLab, sheets: dict[str, SheetToType]
) -> dict[str, str]:
    enter(laptop, lab.link())
    plan(laptop, lab.host, list(sheets), tasters="Odile", cut_off="80,5")
    names = set_by_the_card(laptop)
    join(laptop, phone, "Odile")
    laptop.get_by_role("button", name="First pour, now").click()
    laptop.get_by_role("button", name="First break, now").click()
    fill_in(phone, {code: sheets[name] for code, name in names.items()})
    hand_in_and_call(phone, dict.fromkeys(names, "look again"))
    return names


@pytest.mark.parametrize("half", [0, 1])
def test_real_coffees_come_out_with_their_printed_totals(
    lab: ServedLab, laptop: BrowserContext, phone: BrowserContext, half: int
) -> None:
    host_page, phone_page = laptop.new_page(), phone.new_page()
    coffees = real_coffees()[half * 3 : half * 3 + 3]
    sheets = {name: to_type(coffee) for name, coffee in zip(NAMES, coffees, strict=True)}

    names = run_the_table(host_page, phone_page, lab, sheets)
    sealed = phone_page.content()
    host_page.get_by_role("button", name="Uncover").click()
    decide(
        host_page,
        dict(zip(NAMES, ("buy", "look again", "decline"), strict=True)),
        reason="As printed.",
        by="Piet",
    )
    host_page.get_by_role("link", name="Decision memo").click()

    assert not any(name in sealed for name in NAMES)
    for name, printed in zip(NAMES, PRINTED[half], strict=True):
        said = host_page.get_by_role("figure").first.get_by_role("listitem").filter(has_text=name)
        expect(said).to_contain_text(f"sheet {printed}")
        expect(phone_page.get_by_role("main")).to_contain_text(printed)
    assert set(names.values()) == set(NAMES)
    expect(host_page.get_by_role("heading", level=1)).to_have_text(
        "Buy Marrow Hill. Taste Sallow Bridge once more. Decline Fen Cross."
    )
    expect(host_page.get_by_role("main")).to_contain_text("nine in ten")


def test_the_phones_page_is_no_secure_context(lab: ServedLab, phone: BrowserContext) -> None:
    page = phone.new_page()

    page.goto(lab.phones)

    assert page.evaluate("window.isSecureContext") is False


def test_three_phones_taste_at_one_table(
    lab: ServedLab, laptop: BrowserContext, new_phone: Callable[[], BrowserContext]
) -> None:
    host_page = laptop.new_page()
    enter(host_page, lab.link())
    plan(host_page, lab.host, NAMES, tasters="Odile\nAnouk\nBram", cut_off="84")
    names = set_by_the_card(host_page)
    host_page.get_by_role("button", name="First pour, now").click()
    points = {"Odile": 8.0, "Anouk": 7.5, "Bram": 8.25}

    for taster, value in points.items():
        page = new_phone().new_page()
        join(host_page, page, taster)
        lines = ("fragrance_aroma", "flavor", "aftertaste", "acidity", "body", "balance", "overall")
        fill_in(page, dict.fromkeys(names, SheetToType(points=dict.fromkeys(lines, value))))
        hand_in_and_call(page, dict.fromkeys(names, "buy"))
    host_page.get_by_role("button", name="Uncover").click()

    # 7 x 8.00 + 30, 7 x 7.50 + 30 and 7 x 8.25 + 30 by the protocol's own sum, [S1]; their mean.
    fen = host_page.get_by_role("figure").first.get_by_role("listitem").filter(has_text="Fen Cross")
    expect(fen).to_contain_text("sheets 85.42")
    page.get_by_role("region", name="Fen Cross").get_by_role("button").click()
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_role("status").last).to_contain_text("Choose a word and say why")
    page.get_by_role("button", name="decline", exact=True).click()
    page.get_by_label("Because").fill("Not at this price.")
    # It is on the screen before it is in the lab.
    with page.expect_response("**/entries"):
        page.get_by_role("button", name="Keep it").click()
    anew = page.get_by_role("region", name="Fen Cross")
    expect(anew).to_contain_text("decline. Not at this price.")
    host_page.reload()
    expect(host_page.get_by_role("main")).to_contain_text(
        "Bram called Fen Cross buy by code, and since the names are known decline: Not at this"
    )
    host_page.get_by_text("Line by line, with notes").click()
    lines = host_page.get_by_role("region", name="Fen Cross, line by line")
    total = lines.get_by_role("row").filter(has_text="Total")
    expect(total.get_by_role("cell")).to_have_text(["86.00", "82.50", "87.75", "85.42", "2.67"])
