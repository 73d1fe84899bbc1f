"""Each taster begins where the phone says, goes round, and comes back in the next round."""

import re
from collections.abc import Callable

from in_the_browser import enter, join, plan, set_by_the_card
from playwright.sync_api import BrowserContext, Page, expect

from served_lab import ServedLab

CLASSES = ("Washed A", "Washed B", "Washed C", "---", "Decaf")


def ready(laptop: Page, lab: ServedLab, coffees: tuple[str, ...], *, tasters: str) -> list[str]:
    """Plan a table and pour it; gives the names as they stand."""
    enter(laptop, lab.link())
    plan(laptop, lab.host, coffees, tasters=tasters, cut_off="84")
    names = set_by_the_card(laptop)
    laptop.get_by_role("button", name="First pour, now").click()
    return [*names.values()]


def codes_of_a_round(phone: Page) -> list[str]:
    """Go by Next through the round that is open; gives the codes as they came."""
    came: list[str] = []
    title = phone.locator(".rounds [aria-current]").inner_text()
    while phone.locator(".rounds [aria-current]").inner_text() == title:
        code = phone.locator(".step").get_attribute("data-code") or ""
        if came[-1:] != [code]:
            came.append(code)
        expect(phone.locator(".move.settling")).to_have_count(0)
        phone.locator(".move .key.on").click()
    return came


def told_to_begin(phone: Page) -> list[tuple[str, str]]:
    said = phone.locator(".under").inner_text()
    return re.findall(r"Begin at (\d{3}), then (\d{3})", said)[0:1]


def test_a_taster_begins_where_told_and_comes_back(
    lab: ServedLab, laptop: BrowserContext, new_phone: Callable[[], BrowserContext]
) -> None:
    host_page = laptop.new_page()
    ready(host_page, lab, ("One", "Two", "Three"), tasters="Odile\nAnouk\nBram")
    said = host_page.get_by_text("Begin: Odile").inner_text()
    assert "Each code comes first for 1 of the 3 tasters." in said

    begun = []
    for taster in ("Odile", "Anouk"):
        page = new_phone().new_page()
        join(host_page, page, taster)
        told = told_to_begin(page)
        smelled = codes_of_a_round(page)
        assert told == [tuple(smelled[:2])]
        assert f"{taster} at {smelled[0]}" in said
        assert told_to_begin(page) == [tuple(smelled[::-1][:2])]
        assert codes_of_a_round(page) == smelled[::-1]
        assert codes_of_a_round(page) == smelled
        # The picture shows the places as they stand, for everybody alike.
        snapshot = page.locator(".mini button b").all_inner_texts()
        assert snapshot == host_page.locator(".coffee .code").all_inner_texts()
        begun.append(smelled[0])
    assert len(set(begun)) == 2

    # Off the way by the picture: it leads there, and the words stay until something is marked.
    last = page.locator(".mini button").last
    last.click()
    expect(last).to_have_attribute("aria-current", "true")


def test_a_heavy_class_stands_and_is_tasted_last(
    lab: ServedLab, laptop: BrowserContext, phone: BrowserContext
) -> None:
    host_page, page = laptop.new_page(), phone.new_page()
    names = ready(host_page, lab, CLASSES, tasters="Odile")

    join(host_page, page, "Odile")
    snapshot = page.locator(".mini button b").all_inner_texts()

    assert names[-1] == "Decaf"
    for _ in range(3):
        assert codes_of_a_round(page)[-1] == snapshot[-1]
    assert "class" not in page.locator("main").inner_text().lower()
