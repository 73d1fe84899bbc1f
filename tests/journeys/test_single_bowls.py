"""Bowls that differ: noted on the laptop and on a helper's phone, taken back, said in words."""

from collections.abc import Callable

from in_the_browser import enter, helping, plan, set_by_the_card
from playwright.sync_api import BrowserContext, Page, expect

from served_lab import ServedLab


def touch(page: Page, bowl: int) -> None:
    page.get_by_role("img", name=f"bowl {bowl}:").first.click()
    expect(page.get_by_role("heading", name=f"Bowl {bowl} of")).to_be_visible()


def test_the_host_notes_a_late_bowl_and_a_weighed_one_and_takes_back(
    lab: ServedLab, laptop: BrowserContext, assert_accessible: Callable[[Page], None]
) -> None:
    page = laptop.new_page()
    enter(page, lab.link())
    plan(page, lab.host, ("One", "Two", "Three"), tasters="Odile", cut_off="84")
    set_by_the_card(page)

    touch(page, 2)
    page.get_by_role("textbox", name="Dose, g").fill("9,1")
    page.get_by_role("button", name="Keep Dose").click()
    # 8.25 g asked for: [S1].
    expect(page.locator("#bowl")).to_contain_text("had 0.85 g more coffee")
    page.get_by_role("link", name="Close").click()
    page.get_by_role("button", name="First pour, now").click()
    touch(page, 5)
    page.get_by_role("button", name="Poured now").click()
    expect(page.locator("#bowl")).to_contain_text("Poured at 0:")
    expect(page.get_by_role("img", name="bowl 5: crust, noted").first).to_be_visible()
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
        assert_accessible(page)
    page.get_by_role("button", name="Undo Poured").click()

    expect(page.locator("#bowl")).not_to_contain_text("Poured at 0:")
    expect(page.get_by_role("button", name="Poured now")).to_be_visible()


def test_a_helper_notes_bowls_without_wifi_and_the_host_sees_them(
    lab: ServedLab,
    laptop: BrowserContext,
    phone: BrowserContext,
    complaints: list[str],
    assert_accessible: Callable[[Page], None],
) -> None:
    host_page, page = laptop.new_page(), phone.new_page()
    helping(host_page, page, lab)
    page.route("**/entries", lambda route: route.abort())

    touch(page, 3)
    page.get_by_role("textbox", name="Dose, g").fill("a lot")
    page.get_by_role("button", name="Keep Dose").click()
    expect(page.get_by_role("textbox", name="Dose, g")).to_have_value("a lot")
    page.get_by_role("textbox", name="Dose, g").fill("8.9")
    page.get_by_role("button", name="Keep Dose").click()
    expect(page.locator("#bowl")).to_contain_text("Dose 8.9 g.")
    assert_accessible(page)
    page.wait_for_selector("help-page:not(.settling)")
    page.get_by_role("button", name="Spilt").click()
    expect(page.locator("#bowl")).to_contain_text("Spilt.")
    page.wait_for_selector("help-page:not(.settling)")
    page.get_by_role("button", name="Undo Spilt").click()
    page.unroute("**/entries")
    page.evaluate("dispatchEvent(new Event('online'))")

    expect(page.locator(".sent")).to_contain_text("3 in the lab")
    expect(host_page.get_by_role("img", name="bowl 3: bare grounds, differs").first).to_be_visible()
    assert all("ERR_FAILED" in said for said in complaints)
    complaints.clear()


def test_a_table_is_rehearsed_thirty_times_as_fast_and_nothing_is_kept(
    lab: ServedLab, laptop: BrowserContext, assert_accessible: Callable[[Page], None]
) -> None:
    page = laptop.new_page()
    enter(page, lab.link())
    plan(page, lab.host, ("One", "Two", "Three"), tasters="Odile", cut_off="84")
    page.get_by_role("link", name="Rehearse").click()
    expect(page.get_by_role("main")).to_contain_text("Rehearsal: nothing is kept.")
    page.get_by_role("button", name="First pour, now").click()
    expect(page.locator("h1.say")).to_contain_text("bowl")
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
        assert_accessible(page)

    page.get_by_role("button", name="\u00d730").click()
    # Four minutes of steep: [S1]; eight seconds at this pace.
    expect(page.locator("h1.say")).to_contain_text("It was due at 4:00.", timeout=20_000)
    page.get_by_role("button", name="First break, now").click()
    page.get_by_role("button", name="\u00d71", exact=True).click()
    touch(page, 2)
    page.get_by_role("button", name="Spilt", exact=True).click()
    expect(page.get_by_role("img", name="bowl 2: spilt").first).to_be_visible()
    page.wait_for_selector("help-page:not(.settling)")
    page.get_by_role("button", name="Undo Spilt").click()
    expect(page.get_by_role("img", name="bowl 2: spilt")).to_have_count(0)
    page.get_by_role("button", name="Start again").click()
    expect(page.get_by_role("button", name="First pour, now")).to_be_visible()
    page.get_by_role("link", name="Back to the table").click()

    expect(page.get_by_role("heading", level=1)).to_have_text("Fill the bowls by the card.")
    expect(page.get_by_role("button", name="The table is set")).to_be_visible()


def test_a_helper_rehearses_on_its_own_device(
    lab: ServedLab, laptop: BrowserContext, phone: BrowserContext
) -> None:
    host_page, page = laptop.new_page(), phone.new_page()
    helping(host_page, page, lab)

    page.get_by_role("button", name="Rehearse").click()
    expect(page.get_by_role("main")).to_contain_text("Rehearsal: nothing is kept.")
    page.locator("rehearsal-table").get_by_role("button", name="First pour, now").click()
    expect(page.get_by_role("button", name="First break, now")).to_be_visible()
    page.get_by_role("button", name="Back to the table").click()

    expect(page.get_by_role("button", name="First pour, now")).to_be_visible()
    expect(page.locator(".sent")).to_contain_text("0 in the lab")
    expect(host_page.get_by_role("heading", level=1)).to_contain_text("Pour")


# A table larger than can be planned in a form here: codes, bowls, eight seconds a pour.
LARGE = """([coffees, bowls]) => {
  const places = Array.from({ length: coffees }, (_, nth) => (
    { id: `p${nth}`, code: String(130 + 53 * nth), cups: bowls }
  ));
  const clocks = places.flatMap(({ id, code, cups }, nth) =>
    Array.from({ length: cups }, (_, bowl) => {
      const pour = 8 * (nth * cups + bowl);
      const due = { pour_s: pour, break_s: pour + 240, skim_s: pour + 400, taste_s: pour + 900 };
      return { place: id, code, cup: bowl + 1, is_spilt: false, is_broken: false, ...due };
    }),
  );
  const table = document.createElement("rehearsal-table");
  table.plan = { table: "large", places, run: { clocks, rounds: [] }, recipe: { steep_s: 240 } };
  document.querySelector("rehearsal-table").replaceWith(table);
}"""


def test_large_tables_are_rehearsed_within_the_screen(
    lab: ServedLab, laptop: BrowserContext, assert_accessible: Callable[[Page], None]
) -> None:
    page = laptop.new_page()
    enter(page, lab.link())
    plan(page, lab.host, ("One", "Two", "Three"), tasters="Odile", cut_off="84")
    address = page.url
    for coffees, bowls in ((14, 1), (8, 5)):
        page.goto(f"{address}/rehearsal")
        expect(page.get_by_role("button", name="First pour, now")).to_be_visible()
        page.evaluate(LARGE, [coffees, bowls])
        page.get_by_role("button", name="First pour, now").click()
        expect(page.locator("li.due")).to_have_count(1)
        assert_accessible(page)
        for width in (1280, 390):
            page.set_viewport_size({"width": width, "height": 844})
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        page.get_by_role("button", name="\u00d730").click()
        last = page.get_by_role("img", name=f"{130 + 53 * (coffees - 1)}, bowl {bowls}: crust")
        expect(last).to_be_visible(timeout=20_000)
