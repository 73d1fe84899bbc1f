"""Host and taster on one laptop: the taster's page is worked by the keyboard alone."""

from in_the_browser import enter, plan, set_by_the_card, settled
from playwright.sync_api import BrowserContext, Page, expect

from served_lab import ServedLab


def reach(page: Page, name: str) -> None:
    """Go by Tab to the key with this name, see that the focus shows, and press it."""
    key = page.get_by_role("button", name=name, exact=True)
    expect(key).to_be_visible()
    for _ in range(40):
        page.keyboard.press("Tab")
        if key.evaluate("(key) => key === document.activeElement"):
            break
    expect(key).to_be_focused()
    assert key.evaluate("(key) => getComputedStyle(key).outlineStyle") == "solid"
    page.keyboard.press("Enter")


def type_the_sheet(page: Page) -> None:
    """Go through all lines: 8.25 where points are asked, all alike where bowls are."""
    while page.locator(".step").count():
        expect(page.locator(".move.settling")).to_have_count(0)
        if page.locator("scale-line").count():
            page.keyboard.type("8.25")
            expect(page.locator(".ask .own")).to_have_text("8.25")
        else:
            page.keyboard.press("0")
            expect(page.locator("cups-line .cup.usual")).to_have_count(5)
        page.keyboard.press("ArrowRight")


def test_host_and_taster_on_one_laptop_from_plan_to_names(
    lab: ServedLab, laptop: BrowserContext
) -> None:
    host_page = laptop.new_page()
    enter(host_page, lab.link())
    plan(host_page, lab.host, ("One", "Two", "Three"), tasters="Odile", cut_off="84")
    names = set_by_the_card(host_page)
    host_page.get_by_role("button", name="First pour, now").click()
    with laptop.expect_page() as opened:
        host_page.get_by_role("link", name="Taste on this laptop").click()
    page = opened.value

    reach(page, "Odile")
    reach(page, "Sit down as Odile")
    expect(page.locator(".keyboard")).to_be_visible()
    type_the_sheet(page)
    settled(page)
    reach(page, "Hand in")
    expect(page.get_by_role("heading", name="Handed in. Now your call.")).to_be_visible()
    settled(page)
    for code in names:
        reach(page, f"{code}: buy")
    expect(page.get_by_role("main")).to_contain_text("Wait for the host to uncover.")
    host_page.get_by_role("button", name="Uncover").click()

    # 7 lines x 8.25 + 30, by the protocol's own sum, [S1].
    expect(page.get_by_role("main")).to_contain_text("87.75")


def test_arrows_go_back_and_digits_touch_the_bowls(lab: ServedLab, laptop: BrowserContext) -> None:
    host_page, page = laptop.new_page(), laptop.new_page()
    enter(host_page, lab.link())
    plan(host_page, lab.host, ("One", "Two", "Three"), tasters="Odile", cut_off="84")
    set_by_the_card(host_page)
    page.goto(
        host_page.get_by_role("link", name="Taste on this laptop").get_attribute("href") or ""
    )
    reach(page, "Odile")
    reach(page, "Sit down as Odile")
    first = page.locator(".step").get_attribute("data-code")

    page.keyboard.press("ArrowRight")
    expect(page.locator(".step")).not_to_have_attribute("data-code", first or "")
    expect(page.locator(".move.settling")).to_have_count(0)
    page.keyboard.press("ArrowLeft")
    expect(page.locator(".step")).to_have_attribute("data-code", first or "")
    reach(page, "Cool")
    page.keyboard.press("2")

    expect(page.locator(".cup.flagged")).to_have_count(1)
    expect(page.locator(".cup.flagged b")).to_have_text("2")
