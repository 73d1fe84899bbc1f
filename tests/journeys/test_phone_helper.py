"""A helper's tablet at the table in a real browser: it taps the pours, with Wi-Fi or without."""

from collections.abc import Callable

import pytest
from in_the_browser import helping
from playwright.sync_api import BrowserContext, Page, expect

from served_lab import ServedLab

POUR = "First pour, now"
BREAK = "First break, now"
FITS = """document.documentElement.scrollWidth <= innerWidth
  && document.documentElement.scrollHeight <= innerHeight"""


def test_a_helper_pours_breaks_and_takes_back(
    lab: ServedLab,
    laptop: BrowserContext,
    phone: BrowserContext,
    assert_accessible: Callable[[Page], None],
) -> None:
    host_page, page = laptop.new_page(), phone.new_page()
    helping(host_page, page, lab)
    first = page.get_by_role("img", name="bowl 1: bare grounds, next")
    expect(first).to_be_visible()
    expect(page.get_by_role("main")).to_contain_text("One person pours, when the lane is clear.")

    page.get_by_role("button", name=POUR).click()
    expect(page.locator(".since")).to_contain_text("since the first pour")
    expect(page.get_by_role("img", name="bowl 1: crust")).to_be_visible()
    expect(host_page.get_by_role("button", name=BREAK)).to_be_visible()
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
        assert_accessible(page)
    page.get_by_role("button", name=BREAK).click()
    expect(host_page.get_by_role("button", name="All skimmed")).to_be_visible()
    page.get_by_role("button", name="Undo first break").click()
    page.get_by_role("button", name="Undo first pour").click()

    expect(host_page.get_by_role("heading", level=1)).to_contain_text("Pour")
    expect(page.get_by_role("button", name=POUR)).to_be_visible()
    expect(page.locator(".since")).to_have_text("")


def test_a_second_touch_on_a_tap_is_a_slip(
    lab: ServedLab, laptop: BrowserContext, phone: BrowserContext
) -> None:
    host_page, page = laptop.new_page(), phone.new_page()
    helping(host_page, page, lab)

    page.locator(".taps .go").evaluate(
        "async (key) => { key.click(); await new Promise(requestAnimationFrame); key.click(); }"
    )

    expect(page.get_by_role("button", name=BREAK)).to_be_visible()
    expect(page.locator("help-page.settling")).to_have_count(0)
    expect(page.locator(".sent")).to_contain_text("1 in the lab")
    expect(host_page.get_by_role("button", name=BREAK)).to_be_visible()


def test_a_tap_without_wifi_waits_through_a_reload_and_arrives_once(
    lab: ServedLab, laptop: BrowserContext, phone: BrowserContext, complaints: list[str]
) -> None:
    host_page, page = laptop.new_page(), phone.new_page()
    helping(host_page, page, lab)
    page.route("**/entries", lambda route: route.abort())

    page.get_by_role("button", name=POUR).click()
    expect(page.locator(".waits")).to_have_text(
        "The last tap is still on this device: keep the page open."
    )
    expect(page.locator(".since")).to_contain_text("since the first pour")
    page.reload()
    expect(page.get_by_role("button", name=BREAK)).to_be_visible()
    page.unroute("**/entries")
    expect(page.locator(".waits")).to_have_text("")

    expect(host_page.get_by_role("button", name=BREAK)).to_be_visible()
    expect(page.locator(".sent")).to_contain_text("1 in the lab")
    assert all("ERR_FAILED" in said for said in complaints)
    complaints.clear()


def test_a_tap_that_came_too_late_says_why_it_is_set_aside(
    lab: ServedLab, laptop: BrowserContext, phone: BrowserContext, complaints: list[str]
) -> None:
    host_page, page = laptop.new_page(), phone.new_page()
    helping(host_page, page, lab)
    page.route("**/entries", lambda route: route.abort())
    page.get_by_role("button", name=POUR).click()
    expect(page.locator(".waits")).to_contain_text("on this device")

    host_page.get_by_role("button", name=POUR).click()
    expect(host_page.get_by_role("button", name=BREAK)).to_be_visible()
    page.unroute("**/entries")

    expect(page.locator(".waits")).to_contain_text("Set aside:")
    assert all("ERR_FAILED" in said for said in complaints)
    complaints.clear()


@pytest.mark.parametrize("size", [(1024, 768), (390, 844)])
def test_the_whole_table_is_seen_without_scrolling(
    lab: ServedLab, laptop: BrowserContext, phone: BrowserContext, size: tuple[int, int]
) -> None:
    host_page, page = laptop.new_page(), phone.new_page()
    page.set_viewport_size({"width": size[0], "height": size[1]})

    helping(host_page, page, lab)

    page.wait_for_function(FITS)
