"""Every page of both apps, opened and checked for who cannot see, hear or point well.

The list of pages is the apps' own list of routes, so that a new page that is not opened here
makes this fail.
"""

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from at_the_door import SETTINGS, new_links
from at_the_table import opened_lab
from fastapi import FastAPI
from fastapi.responses import HTMLResponse
from fastapi.routing import APIRoute
from in_the_browser import (
    SheetToType,
    enter,
    fill_in,
    join,
    plan,
    set_by_the_card,
    settled,
    type_note,
)
from playwright.sync_api import BrowserContext, Page, expect
from whole_tables import taste_whole

from crustbreak.domain.planning.plan_request import PlanDraft
from crustbreak.services.planning.screening import plan_screening, view_screening
from crustbreak.web.host.app import host_app
from crustbreak.web.phone.app import phone_app
from crustbreak.wiring import open_lab
from served_lab import ServedLab, served_lab

LINES = ("fragrance_aroma", "flavor", "aftertaste", "acidity", "body", "balance", "overall")


def pages_of(app: FastAPI) -> dict[str, re.Pattern[str]]:
    return {
        route.path: route.path_regex
        for route in app.routes
        if isinstance(route, APIRoute) and route.response_class is HTMLResponse
    }


class Inspector:
    """Checks a page as it stands, in both schemes, and remembers which pages it saw."""

    def __init__(self, check: Callable[[Page], None]) -> None:
        self.check = check
        self.seen: set[str] = set()

    def __call__(self, page: Page) -> None:
        self.seen.add(re.sub(r"^https?://[^/]+", "", page.url).split("#")[0] or "/")
        for scheme in ("light", "dark"):
            # A colour that is still on its way from the other scheme is nobody's contrast.
            page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
            self.check(page)
        width = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert width <= 0, f"{page.url} scrolls sideways by {width} px"

    def unseen(self, pages: dict[str, re.Pattern[str]]) -> set[str]:
        return {
            path
            for path, shape in pages.items()
            if not any(shape.match(address) for address in self.seen)
        }


@pytest.fixture
def inspect(assert_accessible: Callable[[Page], None]) -> Inspector:
    return Inspector(assert_accessible)


@pytest.fixture
def demo(tmp_path: Path) -> Iterator[ServedLab]:
    with served_lab(tmp_path / "demo", demo=True) as served:
        yield served


def test_every_page_of_the_host(
    demo: ServedLab,
    laptop: BrowserContext,
    inspect: Inspector,
    complaints: list[str],
    tmp_path: Path,
) -> None:
    page = laptop.new_page()

    page.goto(demo.host)
    inspect(page)
    enter(page, demo.link())
    inspect(page)
    page.get_by_role("link", name="Harbour offers", exact=True).click()
    inspect(page)
    page.get_by_role("link", name="Decision memo").click()
    inspect(page)
    page.goto(demo.host)
    page.locator(".owed", has_text="Ridge offers").get_by_role("link").click()
    page.get_by_text("Line by line, with notes and flagged bowls").click()
    inspect(page)
    page.goto(f"{demo.host}/nowhere")
    inspect(page)

    look_at_a_plan(page, demo, inspect)
    look_at_the_house(page, demo, inspect)
    look_at_a_bowl(page, demo, inspect)
    write_a_protocol_down(page, demo, inspect)

    look_at_a_first_look(page, demo, inspect)

    # Five, the most that stand abreast, so that the widest picture is the one that is looked at.
    five = ("One", "Two", "Three", "Four", "Five")
    plan(page, demo.host, five, tasters="Ines", cut_off="84")
    inspect(page)
    page.get_by_role("link", name="Rehearse").click()
    expect(page.get_by_role("button", name="First pour, now")).to_be_visible()
    inspect(page)
    page.get_by_role("link", name="Back to the table").click()
    page.get_by_role("button", name="Open the card").click()
    inspect(page)
    page.get_by_role("button", name="The table is set").click()
    inspect(page)
    page.get_by_role("button", name="First pour, now").click()
    inspect(page)
    page.get_by_text("Give this table up").click()
    inspect(page)
    look_at_the_filling(page, demo, inspect)
    look_beside_an_arrival(page, demo, inspect)

    with opened_lab(tmp_path / "routes") as (lab, _):
        unseen = inspect.unseen(pages_of(host_app(lab, SETTINGS, new_links(lab))))
    # The form for the sink is looked at where somebody gets there: after a whole table alone.
    assert unseen == {"/tables/{table_id}/wash-up"}
    # Eight were provoked: not entered yet, a page that is not there, a plan that lacks names, a
    # house without a kettle, a bowl that is cold at once, a protocol of 90 g; and two beside an
    # arrival: moisture that is no number, a contract without its days.
    assert len(complaints) == 8
    assert all(any(code in said for code in ("401", "404", "422")) for said in complaints)
    complaints.clear()


def look_at_a_plan(page: Page, demo: ServedLab, inspect: Inspector) -> None:
    page.goto(f"{demo.host}/plan/choose")
    inspect(page)
    page.get_by_label("Which coffees").fill("One")
    page.get_by_role("button", name="Draw the codes").click()
    expect(page.get_by_role("alert")).to_be_visible()
    inspect(page)

    page.get_by_text("Look at sample, roast, grind and caffeine, too").click()
    page.get_by_label("Green there is of the smallest sample").fill("60")
    inspect(page)
    page.get_by_role("button", name="Look first").click()
    expect(page.get_by_role("heading", name="in the way")).to_be_visible()
    inspect(page)


def look_at_the_filling(page: Page, demo: ServedLab, inspect: Inspector) -> None:
    page.goto(f"{demo.host}/plan/choose")
    page.get_by_label("Which coffees").fill("One\nTwo\nThree")
    page.get_by_text("Numbered bowls").click()
    inspect(page)
    page.get_by_role("button", name="Draw the codes").click()
    inspect(page)
    page.get_by_role("link", name="Filling card").click()
    inspect(page)


def look_beside_an_arrival(page: Page, demo: ServedLab, inspect: Inspector) -> None:
    page.goto(f"{demo.host}/plan/match")
    inspect(page)
    page.get_by_label("Approved: the control").fill("Oskelan")
    page.get_by_label("To be compared with it").fill("Oskelan 2")
    page.get_by_text("Numbered bowls").click()
    page.get_by_role("button", name="Draw the codes").click()
    inspect(page)
    page.get_by_role("link", name="Filling card").click()
    inspect(page)
    page.go_back()
    page.get_by_role("link", name="Physicals and old score").click()
    inspect(page)
    now = page.get_by_role("textbox", name="Moisture, now")
    now.fill("wet")
    page.get_by_role("button", name="Keep").click()
    expect(page.get_by_role("alert")).to_contain_text("Moisture, now")
    inspect(page)
    now.fill("12.9")
    page.get_by_role("textbox", name="Moisture, at most").fill("12.5")
    page.get_by_label("points", exact=True).fill("87.5")
    page.get_by_role("button", name="Keep").click()
    expect(
        page.get_by_role("heading", name="Moisture 12.9 % by mass is over 12.5.")
    ).to_be_visible()
    inspect(page)
    page.get_by_role("link", name="Claim clock").click()
    inspect(page)
    page.get_by_label("Discharged on").fill("2026-11-18")
    page.get_by_text("Your own").click()
    page.get_by_role("button", name="Keep").click()
    expect(page.get_by_role("alert")).to_contain_text("Days of your contract")
    inspect(page)
    page.get_by_label("Days of your contract").fill("40")
    page.get_by_role("button", name="Keep").click()
    inspect(page)
    page.get_by_role("link", name="Claim pack, a draft").click()
    inspect(page)


def test_how_the_offers_of_a_first_look_stand(
    laptop: BrowserContext, inspect: Inspector, tmp_path: Path
) -> None:
    offers = tuple(f"Offer {nth}" for nth in range(16))
    truth = {name: 80.0 + nth / 2 for nth, name in enumerate(offers)}
    with open_lab(tmp_path / "flood", name="Test lab") as lab:
        draft = PlanDraft(
            occasion="Flood", coffees=offers, tasters=("Ines",), cut_off=84.0, setter="Piet"
        )
        first = plan_screening(lab, "choose", draft)
        for table, _ in view_screening(lab, first.id, best=3).flights:
            taste_whole(lab, table, truth)
    with served_lab(tmp_path / "flood") as served:
        page = laptop.new_page()
        enter(page, served.link())
        page.get_by_role("link", name="Flood", exact=True).click()
        expect(page.get_by_role("heading", name="how the coffees stand")).to_be_visible()
        inspect(page)
        page.get_by_label("How many will be bought").fill("2")
        page.get_by_role("button", name="Say it for so many").click()
        expect(page.get_by_role("columnheader", name="among the best 2")).to_be_visible()

        page.get_by_role("button", name="Plan the second look").click()

        expect(page.get_by_label("Which coffees")).to_have_value(re.compile("Offer 15"))
        expect(page.get_by_label("Bowls of each coffee")).to_have_value("5")
        inspect(page)


def look_at_a_first_look(page: Page, demo: ServedLab, inspect: Inspector) -> None:
    page.goto(f"{demo.host}/plan/choose")
    page.get_by_label("Which coffees").fill("\n".join(f"Offer {nth}" for nth in range(16)))
    page.get_by_label("Who tastes").fill("Ines")
    page.get_by_role("button", name="Look first").click()
    expect(page.get_by_role("heading", name="taste them in two stages")).to_be_visible()
    inspect(page)
    page.get_by_role("button", name="Draw 2 flights").click()
    expect(page.get_by_role("heading", name="taste the first flight")).to_be_visible()
    inspect(page)
    page.goto(f"{page.url}/second")
    inspect(page)
    page.goto(demo.host)
    inspect(page)


def look_at_the_house(page: Page, demo: ServedLab, inspect: Inspector) -> None:
    page.goto(f"{demo.host}/house")
    inspect(page)
    page.get_by_label("Kettles, hot at the same time").fill("none")
    page.get_by_role("button", name="Keep").click()
    expect(page.get_by_role("alert")).to_contain_text("a whole number from 1 to 8")
    inspect(page)
    page.get_by_label("Kettles, hot at the same time").fill("2")
    page.get_by_role("button", name="Keep").click()
    expect(page.get_by_role("status")).to_contain_text("Kept.")
    inspect(page)


def look_at_a_bowl(page: Page, demo: ServedLab, inspect: Inspector) -> None:
    page.goto(f"{demo.host}/house/bowl")
    inspect(page)
    page.get_by_label("Minutes since its pour", exact=True).fill("10:00")
    page.get_by_label("It shows, °C", exact=True).fill("40")
    page.get_by_role("button", name="Keep the reading").click()
    expect(page.get_by_role("alert")).to_contain_text("a reading goes with what is known")
    inspect(page)
    page.get_by_label("It shows, °C", exact=True).fill("68")
    page.get_by_role("button", name="Keep the reading").click()
    expect(page.get_by_role("status")).to_contain_text("Kept.")
    page.get_by_text("What was kept of it").click()
    inspect(page)
    page.get_by_role("button", name="Put standard glass back").click()
    expect(page.get_by_role("status")).to_contain_text("Put back.")


def write_a_protocol_down(page: Page, demo: ServedLab, inspect: Inspector) -> None:
    page.goto(f"{demo.host}/house/protocols")
    inspect(page)
    typed = {"Title": "Ours", "Dose, g": "90", "Water, ml": "150", "From pour to break, s": "240"}
    for label, text in {**typed, "Water at the pour, °C": "94", "Stirs at": "3"}.items():
        page.get_by_label(label).fill(text)
    page.get_by_role("button", name="Keep").click()
    expect(page.get_by_role("alert")).to_contain_text("Dose, g")
    inspect(page)
    page.get_by_label("Dose, g").fill("9.3")
    page.get_by_role("button", name="Keep").click()
    expect(page.get_by_role("status")).to_contain_text("Kept: Ours, version 1.")
    page.get_by_role("link", name="Change Ours").click()
    inspect(page)


def look_at_hand_in_before_the_pour(page: Page, inspect: Inspector) -> None:
    page.get_by_role("button", name="Hand in", exact=True).click()
    expect(page.get_by_role("main")).to_contain_text("a sheet is handed in after the first pour")
    expect(page.get_by_role("button", name=re.compile("^Hand in"))).to_have_count(0)
    inspect(page)
    settled(page)
    page.get_by_role("button", name="Back to the sheet").click()
    settled(page)


def test_every_part_of_the_phones_page(
    lab: ServedLab,
    laptop: BrowserContext,
    phone: BrowserContext,
    inspect: Inspector,
    tmp_path: Path,
) -> None:
    host_page, page = laptop.new_page(), phone.new_page()
    enter(host_page, lab.link())
    plan(host_page, lab.host, ("One", "Two", "Three"), tasters="Ines", cut_off="84")
    codes = set_by_the_card(host_page)
    first = next(iter(codes))

    page.goto(lab.phones)
    expect(page.get_by_label("Or type its 6 signs")).to_be_visible()
    inspect(page)
    page.goto("about:blank")
    page.goto(host_page.locator(".address").text_content() or "")
    expect(page.get_by_role("button", name="Ines")).to_be_visible()
    inspect(page)
    join(host_page, page, "Ines")
    inspect(page)
    look_at_hand_in_before_the_pour(page, inspect)
    host_page.get_by_role("button", name="First pour, now").click()
    inspect(page)
    page.get_by_role("button", name="Cool").click()
    code = page.locator(".step").get_attribute("data-code")
    page.get_by_role("button", name=f"Bowl 2 of {code}").click()
    inspect(page)
    type_note(page, code or first, "plum")
    page.get_by_role("button", name=f"Note on {code}").click()
    inspect(page)
    page.get_by_role("button", name="Close the note").click()
    page.get_by_role("button", name="Hand in", exact=True).click()
    expect(page.get_by_role("button", name="Hand in all the same")).to_be_visible()
    inspect(page)

    page.get_by_role("button", name="Back to the sheet").click()
    page.get_by_role("button", name="Smell").click()
    settled(page)
    fill_in(page, dict.fromkeys(codes, SheetToType(points=dict.fromkeys(LINES, 8.0))))
    settled(page)
    page.get_by_role("button", name="Hand in", exact=True).click()
    expect(page.get_by_role("heading", name="Handed in. Now your call.")).to_be_visible()
    inspect(page)
    settled(page)
    for each in codes:
        page.get_by_role("button", name=f"{each}: buy", exact=True).click()
    page.get_by_role("button", name="Look at your marks").click()
    inspect(page)
    host_page.get_by_role("button", name="Uncover").click()
    inspect(host_page)
    page.reload()
    expect(page.get_by_role("main")).to_contain_text("86.00")
    inspect(page)

    with opened_lab(tmp_path / "routes") as (opened, _):
        unseen = inspect.unseen(pages_of(phone_app(opened, SETTINGS)))
    assert unseen == set()


def let_in(host_page: Page, page: Page, lab: ServedLab) -> None:
    """Type the code that the host's page shows for another device."""
    code = host_page.locator(".pass .typed").inner_text()
    page.goto(lab.phones)
    page.get_by_label("Or type its 6 signs").fill(code)
    page.get_by_role("button", name="Go on", exact=True).click()


def test_the_pages_of_other_devices(
    lab: ServedLab,
    laptop: BrowserContext,
    new_phone: Callable[[], BrowserContext],
    inspect: Inspector,
) -> None:
    host_page, page = laptop.new_page(), new_phone().new_page()
    spare, tablet = new_phone().new_page(), new_phone().new_page()
    enter(host_page, lab.link())
    # Five, so that the widest picture is the one that is looked at.
    plan(host_page, lab.host, ("A", "B", "C", "D", "E"), tasters="Ines", cut_off="84")
    set_by_the_card(host_page)
    join(host_page, page, "Ines")

    host_page.get_by_role("button", name="Let a helper tap the pours").click()
    let_in(host_page, tablet, lab)
    expect(tablet.get_by_role("heading", name="Tap the pours on this device?")).to_be_visible()
    inspect(tablet)
    tablet.get_by_role("button", name="Help at the table").click()
    expect(tablet.get_by_role("button", name="First pour, now")).to_be_visible()
    inspect(tablet)

    host_page.get_by_text("Ines: lost phone, not us, leave out").click()
    inspect(host_page)
    host_page.get_by_role("button", name="Another device for Ines").click()
    let_in(host_page, spare, lab)
    expect(spare.get_by_role("heading", name="Go on as Ines on this phone?")).to_be_visible()
    inspect(spare)
    spare.get_by_role("button", name="Sit down as Ines").click()
    expect(page.get_by_role("main")).to_contain_text("Ines goes on with another device.")
    inspect(page)
