"""Sheets of paper are typed in as their foot says, one after the other on one laptop."""

import re

from in_the_browser import enter, plan, set_by_the_card, settled, type_points
from playwright.sync_api import BrowserContext, Page, expect

from served_lab import ServedLab


def sit_by_the_foot(host_page: Page, page: Page, lab: ServedLab, taster: str) -> None:
    """Do what the sheet's foot says, for the seat of a taster."""
    host_page.get_by_text(f"{taster}: lost phone, not us, leave out").click()
    host_page.get_by_role("button", name=re.compile(f"^Another device for {taster}")).click()
    shown = host_page.get_by_role("group", name=f"Code for {taster}'s other device")
    code = shown.locator(".typed").inner_text()
    page.goto(lab.phones)
    page.get_by_label("Or type its 6 signs").fill(code)
    page.get_by_role("button", name="Go on", exact=True).click()
    page.get_by_role("button", name=f"Sit down as {taster}").click()
    expect(page.locator(".step")).to_be_visible()


def test_two_sheets_are_typed_in_on_one_laptop(lab: ServedLab, laptop: BrowserContext) -> None:
    host_page = laptop.new_page()
    enter(host_page, lab.link())
    plan(host_page, lab.host, ("One", "Two", "Three"), tasters="Odile\nAnouk", cut_off="84")
    set_by_the_card(host_page)
    host_page.get_by_role("button", name="First pour, now").click()

    for taster, points in (("Odile", 7.5), ("Anouk", 8.25)):
        page = laptop.new_page()
        sit_by_the_foot(host_page, page, lab, taster)
        type_points(page, points)
        settled(page)
        line = host_page.locator("live-table").get_by_text(taster, exact=True).locator("..")
        # The whole point, and its part: a page that is closed sends nothing more.
        expect(line).to_contain_text("2 in the lab")
        page.close()
