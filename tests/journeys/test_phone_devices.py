"""A seat and its devices in a real browser: another phone takes over, one is not ours."""

import re
from collections.abc import Callable

from in_the_browser import (
    SheetToType,
    enter,
    fill_in,
    hand_in_and_call,
    join,
    plan,
    set_by_the_card,
)
from playwright.sync_api import BrowserContext, Page, expect

from served_lab import ServedLab

LINES = ("fragrance_aroma", "flavor", "aftertaste", "acidity", "body", "balance", "overall")
# The page asks by itself every 3 or 15 s: here never, so that only the stream can bring a change.
NO_ASKING = """const later = window.setTimeout;
window.setTimeout = (act, ms, ...more) =>
  ms === 3000 || ms === 15000 ? 0 : later(act, ms, ...more);"""

# A key was pressed, and before its answer comes the page finds that what can be done has changed,
# after which it loads itself again.
PRESS_THEN_NEWS = """async () => {
  await customElements.whenDefined("live-table");
  const live = document.querySelector("live-table");
  window.isTheSamePage = true;
  dispatchEvent(new Event("beforeunload"));
  live.querySelector(".stand").dataset.tried = "before";
  await live.look();
}"""


def seated(laptop: Page, phone: Page, lab: ServedLab) -> None:
    """Let Odile sit at a poured table."""
    enter(laptop, lab.link())
    plan(laptop, lab.host, ("One", "Two", "Three"), tasters="Odile", cut_off="84")
    set_by_the_card(laptop)
    laptop.get_by_role("button", name="First pour, now").click()
    join(laptop, phone, "Odile")


def press(phone: Page, point: str) -> None:
    phone.locator("scale-line").get_by_role("button", name=point, exact=True).click()


def act(laptop: Page, word: str) -> None:
    """Do something with Odile's seat."""
    laptop.get_by_text("Odile: lost phone, not us, leave out").click()
    laptop.get_by_role("button", name=re.compile(f"^{word}")).click()


def take_over(laptop: Page, spare: Page, lab: ServedLab) -> None:
    """Let another phone go on as Odile, by the code that the host reads out."""
    act(laptop, "Another device for Odile")
    code = laptop.locator(".pass .typed").inner_text()
    spare.goto(lab.phones)
    spare.get_by_label("Or type its 6 signs").fill(code)
    spare.get_by_role("button", name="Go on", exact=True).click()
    expect(spare.get_by_role("heading", name="Go on as Odile on this phone?")).to_be_visible()
    spare.get_by_role("button", name="Sit down as Odile").click()
    expect(spare.locator(".step")).to_be_visible()


def test_another_phone_takes_a_seat_over_with_all_its_marks(
    lab: ServedLab,
    laptop: BrowserContext,
    new_phone: Callable[[], BrowserContext],
    complaints: list[str],
) -> None:
    host_page, old, spare = laptop.new_page(), new_phone().new_page(), new_phone().new_page()
    seated(host_page, old, lab)
    press(old, "8")
    expect(old.locator(".sent")).to_contain_text("1 in the lab")
    old.locator(".move .key.on").click()
    old.route("**/entries", lambda route: route.abort())
    press(old, "7")
    expect(old.locator(".sent")).to_contain_text("1 on this phone")

    take_over(host_page, spare, lab)
    expect(spare.locator(".sent")).to_contain_text("1 in the lab")
    expect(old.get_by_role("main")).to_contain_text("Odile goes on with another device.")
    expect(old.get_by_role("main")).to_contain_text("is being sent")
    old.unroute("**/entries")
    expect(old.get_by_role("main")).to_contain_text("What was still on this phone is in the lab.")
    spare.reload()

    # What the old phone still held fills the cell that the spare one had left open.
    expect(spare.locator(".mini .done")).to_have_count(2)
    expect(spare.locator(".sent")).to_contain_text("2 in the lab")
    assert all("ERR_FAILED" in said for said in complaints)
    complaints.clear()


def test_a_seat_taken_over_is_handed_in_and_uncovered(
    lab: ServedLab, laptop: BrowserContext, new_phone: Callable[[], BrowserContext]
) -> None:
    host_page, old, spare = laptop.new_page(), new_phone().new_page(), new_phone().new_page()
    seated(host_page, old, lab)
    press(old, "9")
    expect(old.locator(".sent")).to_contain_text("1 in the lab")
    take_over(host_page, spare, lab)
    codes = spare.locator(".mini button b").all_inner_texts()
    expect(spare.locator(".mini .done")).to_have_count(1)

    spare.get_by_role("button", name="Smell").click()
    fill_in(spare, dict.fromkeys(codes, SheetToType(points=dict.fromkeys(LINES, 8.0))))
    hand_in_and_call(spare, dict.fromkeys(codes, "buy"))
    host_page.get_by_role("button", name="Uncover").click()

    # 7 lines x 8.00 + 30, by the protocol's own sum, [S1].
    expect(spare.get_by_role("main")).to_contain_text("86.00")
    expect(old.get_by_role("main")).to_contain_text("86.00")


def test_a_phone_that_is_not_ours_says_what_to_do_and_shows_its_marks(
    lab: ServedLab,
    laptop: BrowserContext,
    phone: BrowserContext,
    complaints: list[str],
    assert_accessible: Callable[[Page], None],
) -> None:
    host_page, page = laptop.new_page(), phone.new_page()
    seated(host_page, page, lab)
    press(page, "8")
    expect(page.locator(".sent")).to_contain_text("1 in the lab")

    act(host_page, "Device 1 is not us")

    expect(page.locator(".notices")).to_contain_text("Ask the host")
    expect(page.get_by_role("main")).to_contain_text("8.00")
    expect(page.locator("scale-line")).to_have_count(0)
    assert_accessible(page)
    act(host_page, "Device 1 is ours after all")
    expect(page.locator(".mini .done")).to_have_count(1)
    assert all("403" in said for said in complaints)
    complaints.clear()


def test_the_stream_brings_a_change_sooner_than_asking_would(
    lab: ServedLab, laptop: BrowserContext, phone: BrowserContext
) -> None:
    host_page, page = laptop.new_page(), phone.new_page()
    enter(host_page, lab.link())
    plan(host_page, lab.host, ("One", "Two", "Three"), tasters="Odile", cut_off="84")
    set_by_the_card(host_page)
    page.add_init_script(NO_ASKING)
    with page.expect_response("**/stream"):
        join(host_page, page, "Odile")
    expect(page.locator(".under")).to_contain_text("Not poured yet.")

    host_page.get_by_role("button", name="First pour, now").click()

    expect(page.locator(".under")).not_to_contain_text("Not poured yet.")


def test_a_press_whose_answer_is_on_the_way_is_not_lost_to_news(
    lab: ServedLab, laptop: BrowserContext
) -> None:
    host_page = laptop.new_page()
    enter(host_page, lab.link())
    plan(host_page, lab.host, ("One", "Two", "Three"), tasters="Odile", cut_off="84")
    set_by_the_card(host_page)

    host_page.evaluate(PRESS_THEN_NEWS)
    host_page.wait_for_timeout(500)

    assert host_page.evaluate("window.isTheSamePage") is True
