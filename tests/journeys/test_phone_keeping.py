"""What a phone keeps and shows when something is amiss: no store, another device, two windows."""

import re
from collections.abc import Callable

import pytest
from in_the_browser import join, plan, set_by_the_card
from playwright.sync_api import BrowserContext, Page, expect

from served_lab import ServedLab

NO_STORE = "indexedDB.open = () => { throw new DOMException('no', 'SecurityError') }"
FULL = """const add = IDBObjectStore.prototype.add;
IDBObjectStore.prototype.add = function (...given) {
  if (!window.isFull) return add.apply(this, given);
  this.transaction.abort();
  return {};
};"""
MORE = """(more) => {
  const real = window.fetch;
  window.fetch = async (path, ...rest) => {
    const response = await real(path, ...rest);
    if (!/[/](state|sheet)$/.test(path)) return response;
    const said = await response.json();
    Object.assign(said.state ?? said, more);
    return new Response(JSON.stringify(said), response);
  };
}"""


def seated(laptop: Page, phone: Page, lab: ServedLab) -> str:
    """Let Odile sit at a poured table; gives the first code."""
    laptop.goto(lab.link())
    plan(laptop, lab.host, ("One", "Two", "Three"), tasters="Odile", cut_off="84")
    set_by_the_card(laptop)
    laptop.get_by_role("button", name="First pour, now").click()
    join(laptop, phone, "Odile")
    return phone.locator(".step").get_attribute("data-code") or ""


def press(phone: Page, point: str) -> None:
    phone.locator("scale-line").get_by_role("button", name=point, exact=True).click()


def patch_state(phone: Page, **more: object) -> None:
    """Let the lab's answers say more of the state than they do."""
    phone.evaluate(MORE, more)
    phone.evaluate("dispatchEvent(new Event('focus'))")


def test_each_coffee_tells_where_its_marks_are_and_no_key_moves(
    lab: ServedLab, laptop: BrowserContext, phone: BrowserContext, complaints: list[str]
) -> None:
    page = phone.new_page()
    code = seated(laptop.new_page(), page, lab)
    coffee = page.locator(".mini").get_by_role("button", name=re.compile(code))
    key = page.locator("scale-line").get_by_role("button", name="8", exact=True)
    before = (key.bounding_box(), coffee.bounding_box())

    press(page, "8")
    expect(coffee.locator(".where")).to_have_text("in lab")
    page.route("**/entries", lambda route: route.abort())
    press(page, "7")
    expect(coffee.locator(".where")).to_have_text("1 here, on this phone")

    assert (key.bounding_box(), coffee.bounding_box()) == before
    page.unroute("**/entries")
    expect(coffee.locator(".where")).to_have_text("in lab")
    assert all("ERR_FAILED" in said for said in complaints)
    complaints.clear()


@pytest.mark.parametrize("script", [NO_STORE, FULL])
def test_a_phone_that_cannot_keep_marks_says_what_to_do_and_sends_them(
    lab: ServedLab,
    laptop: BrowserContext,
    phone: BrowserContext,
    script: str,
    complaints: list[str],
    assert_accessible: Callable[[Page], None],
) -> None:
    phone.add_init_script(script)
    page = phone.new_page()
    seated(laptop.new_page(), page, lab)
    page.evaluate("window.isFull = true")

    press(page, "8")
    expect(page.locator(".sent")).to_contain_text("1 in the lab")
    expect(page.locator(".notices")).to_contain_text("This phone cannot keep marks.")
    expect(page.locator(".notices")).to_contain_text("write on paper")
    page.route("**/entries", lambda route: route.abort())
    press(page, "7")
    expect(page.locator(".notices")).to_contain_text("1 mark is neither kept here nor in the lab")

    expect(page.locator(".sent")).to_contain_text("1 not kept")
    expect(page.locator(".ask .own")).to_have_text("7.00")
    assert_accessible(page)
    # It goes on asking, and each time in vain is a complaint.
    page.close()
    complaints.clear()


def test_a_second_touch_on_next_skips_no_line(
    lab: ServedLab, laptop: BrowserContext, phone: BrowserContext
) -> None:
    page = phone.new_page()
    begun = seated(laptop.new_page(), page, lab)
    steps = "[...document.querySelectorAll('.move [data-do=next]')]"

    page.evaluate(f"{steps}.forEach((key) => {{ key.click(); key.click(); }})")
    first = page.locator(".step").get_attribute("data-code")
    page.locator(".move .key.on").click()

    # The smell round has one line a coffee: two steps on is the third coffee of three.
    expect(page.locator(".step")).not_to_have_attribute("data-code", first or "")
    third = page.locator(".step").get_attribute("data-code")
    assert len({begun, first, third}) == 3


def test_another_window_shows_a_mark_at_once(
    lab: ServedLab, laptop: BrowserContext, phone: BrowserContext
) -> None:
    page, other = phone.new_page(), phone.new_page()
    seated(laptop.new_page(), page, lab)
    other.goto(page.url)
    expect(other.locator(".step")).to_be_visible()
    # No answer of the lab's may bring it.
    other.evaluate("void (window.fetch = () => new Promise(() => {}))")

    press(page, "9")

    expect(other.locator(".ask .own")).to_have_text("9.00")


@pytest.mark.parametrize(
    ("state", "said"),
    [
        ({"holds": False}, "Odile goes on with another device."),
        ({"left_out": "called away"}, "The reason given: called away"),
    ],
)
def test_a_seat_that_went_elsewhere_is_read_only(
    lab: ServedLab,
    laptop: BrowserContext,
    phone: BrowserContext,
    state: dict[str, object],
    said: str,
    assert_accessible: Callable[[Page], None],
) -> None:
    page = phone.new_page()
    seated(laptop.new_page(), page, lab)
    press(page, "8")

    patch_state(page, **state)

    expect(page.get_by_role("main")).to_contain_text(said)
    expect(page.get_by_role("main")).to_contain_text("8.00")
    expect(page.get_by_role("main")).to_contain_text("is in the lab")
    expect(page.get_by_role("button")).to_have_count(0)
    assert_accessible(page)


def test_a_typed_code_leads_to_the_seats_and_a_wrong_one_stays_in_the_box(
    lab: ServedLab, laptop: BrowserContext, phone: BrowserContext, complaints: list[str]
) -> None:
    host_page, page = laptop.new_page(), phone.new_page()
    host_page.goto(lab.link())
    plan(host_page, lab.host, ("One", "Two", "Three"), tasters="Odile", cut_off="84")
    set_by_the_card(host_page)
    token = (host_page.locator(".address").text_content() or "").split("#")[1]
    code = host_page.locator(".typed.big").inner_text()
    page.goto(lab.phones)
    box = page.get_by_label("Or type its 6 signs")

    box.fill("222 222")
    box.press("Enter")
    expect(page.get_by_role("status").filter(has_text="no such code")).to_be_visible()
    expect(box).to_have_value("222 222")
    box.fill(code.lower())
    page.get_by_role("button", name="Go on", exact=True).click()

    expect(page.get_by_role("button", name="Odile")).to_be_visible()
    assert page.url.endswith(f"#{token}")
    assert all("404" in said for said in complaints)
    complaints.clear()
