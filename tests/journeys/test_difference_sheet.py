"""A table on the difference sheet: a question of the tests' own, with thumbs on one phone."""

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from in_the_browser import decide, enter, join, set_by_the_card, settled, type_note
from playwright.sync_api import BrowserContext, Locator, Page, expect

from served_lab import ServedLab, served_lab

APART = Path(__file__).parents[1] / "second_question" / "apart_lab.py"
ASKS = "How far apart are these two?"
# A finger's width. Source: WCAG 2.2, success criterion 2.5.5, target size.
THUMB_PX = 44


@pytest.fixture
def lab(tmp_path: Path) -> Iterator[ServedLab]:
    """Serve an empty lab that asks one question more than the shipped ones."""
    with served_lab(tmp_path / "lab", program=(str(APART),)) as served:
        yield served


def plan_apart(laptop: Page, host: str) -> None:
    """Plan a table of six blind bowls, three of either coffee, and one that stands open."""
    laptop.goto(host)
    laptop.get_by_role("link", name=ASKS).click()
    laptop.get_by_label("Which coffees").fill("Marrow Hill\nMarrow Hill, arrival")
    laptop.get_by_label("Who tastes").fill("Odile")
    laptop.get_by_label("Who sets the table").fill("Piet")
    laptop.get_by_label("Largest difference").fill("1")
    laptop.get_by_label("What to call it").fill("Arrival")
    laptop.get_by_role("button", name="Draw the codes").click()


def poured(laptop: Page, page: Page, lab: ServedLab) -> dict[str, str]:
    """Seat Odile at a table with water on it, and give which coffee stands under which code."""
    enter(laptop, lab.link())
    plan_apart(laptop, lab.host)
    names = set_by_the_card(laptop)
    join(laptop, page, "Odile")
    laptop.get_by_role("button", name="First pour, now").click()
    expect(page.locator(".under")).not_to_contain_text("Not poured yet.")
    return names


def word(page: Page, said: str) -> Locator:
    return page.locator("choice-lines").get_by_role("button", name=said, exact=True)


def tap_points(page: Page, points: float) -> None:
    """Touch the whole point, and the half where there is one."""
    keys = page.locator("scale-line")
    keys.get_by_role("button", name=f"{points // 1:g}", exact=True).tap()
    if points % 1:
        keys.get_by_role("button", name=".5", exact=True).tap()
    expect(page.locator(".ask .own")).to_have_text(f"{points:.1f}")


def boxes(page: Page) -> list[dict[str, Any]]:
    """Give where every key of the step stands, and how large it is."""
    keys: list[dict[str, Any]] = page.locator(".step button, .move button").evaluate_all(
        "(keys) => keys.map((key) => key.getBoundingClientRect().toJSON())"
    )
    return keys


def check_both(page: Page, assert_accessible: Callable[[Page], None]) -> None:
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
        assert_accessible(page)


def test_words_stand_under_the_scale_and_wait_for_a_difference(
    lab: ServedLab,
    laptop: BrowserContext,
    phone: BrowserContext,
    assert_accessible: Callable[[Page], None],
) -> None:
    page = phone.new_page()
    poured(laptop.new_page(), page, lab)
    before = boxes(page)

    expect(word(page, "worse")).to_be_disabled()
    check_both(page, assert_accessible)
    # What stands open is on the table, and no way to anywhere.
    expect(page.locator("mini-table")).to_contain_text("open")
    expect(page.locator("mini-table").get_by_role("button")).to_have_count(6)
    expect(page.locator(".step h1")).to_have_text(re.compile(r"^\d{3} against the open bowl$"))
    tap_points(page, 2.5)
    word(page, "worse").tap()
    word(page, "off-note").tap()
    expect(word(page, "off-note")).to_have_attribute("aria-pressed", "true")
    check_both(page, assert_accessible)

    # Nothing moved, all is in sight and as large as a thumb needs it.
    assert boxes(page) == before
    assert page.evaluate("document.documentElement.scrollHeight <= innerHeight")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert all(min(each["width"], each["height"]) >= THUMB_PX for each in before)
    over = page.locator(".choice .key").evaluate_all(
        "(keys) => keys.filter((key) => key.scrollWidth > key.clientWidth)"
        ".map((key) => key.innerText)"
    )
    assert over == []


def test_a_word_is_changed_taken_back_and_rests_without_a_difference(
    lab: ServedLab, laptop: BrowserContext, phone: BrowserContext
) -> None:
    page = phone.new_page()
    poured(laptop.new_page(), page, lab)
    tap_points(page, 3)

    word(page, "better").tap()
    word(page, "neither").tap()
    expect(word(page, "better")).to_have_attribute("aria-pressed", "false")
    word(page, "body").tap()
    word(page, "body").tap()
    expect(word(page, "body")).to_have_attribute("aria-pressed", "false")
    tap_points(page, 0)
    expect(word(page, "neither")).to_be_disabled()
    expect(word(page, "neither")).to_have_attribute("aria-pressed", "false")
    tap_points(page, 1)
    # What was said is still there, as in the lab.
    expect(word(page, "neither")).to_have_attribute("aria-pressed", "true")
    page.get_by_role("button", name="Take back").tap()

    expect(page.locator(".ask .own")).to_have_text("not yet")
    expect(word(page, "neither")).to_be_disabled()


def test_a_table_is_tasted_called_as_one_and_uncovered(
    lab: ServedLab,
    laptop: BrowserContext,
    phone: BrowserContext,
    assert_accessible: Callable[[Page], None],
) -> None:
    host_page, page = laptop.new_page(), phone.new_page()
    names = poured(host_page, page, lab)
    given: dict[str, float] = {}
    for nth in range(6):
        expect(page.locator(".move.settling")).to_have_count(0)
        code = page.locator(".step").get_attribute("data-code") or ""
        given[code] = 1.5 + nth / 2 if names[code].endswith("arrival") else 0.0
        tap_points(page, given[code])
        if given[code]:
            word(page, "worse").tap()
            word(page, "aroma").tap()
        if nth == 0:
            type_note(page, code, "paper")
        page.locator(".move .key.on").tap()
    assert set(given) == set(names) - {"open"}

    # Two words and no note are missing somewhere, and no line is open for it.
    expect(page.get_by_role("heading", name="All lines are marked.")).to_be_visible()
    settled(page)
    page.get_by_role("button", name="Hand in", exact=True).tap()
    expect(page.get_by_role("heading", name="Handed in. Now your call.")).to_be_visible()
    settled(page)
    call = page.get_by_role("button", name="The table: different, worse", exact=True)
    call.tap()
    expect(call).to_have_attribute("aria-pressed", "true")
    expect(page.get_by_role("main")).to_contain_text("Wait for the host to uncover.")
    check_both(page, assert_accessible)

    page.get_by_role("button", name="Look at your marks").tap()
    for code, points in given.items():
        told = page.get_by_label(code, exact=True)
        expect(told).to_contain_text(f"{points:.1f}")
        expect(told.get_by_text("worse")).to_have_count(1 if points else 0)
    check_both(page, assert_accessible)
    settled(page)
    page.get_by_role("button", name="Back").tap()

    host_page.get_by_role("button", name="Uncover").click()
    expect(page.get_by_role("heading", name="Uncovered.")).to_be_visible()
    del names["open"]
    for coffee in set(names.values()):
        bowls = page.get_by_label(coffee, exact=True)
        expect(bowls.locator("thead th")).to_have_text(
            ["Difference", *(code for code in names if names[code] == coffee)]
        )
        expect(bowls.locator("tbody td")).to_have_text(
            [f"{given[code]:.1f}" for code in names if names[code] == coffee]
        )
    expect(page.get_by_text("Your call:")).to_have_count(1)
    check_both(page, assert_accessible)
    settled(page)
    page.get_by_role("button", name="Decide otherwise now").tap()
    page.get_by_role("button", name="cannot tell yet").tap()
    page.get_by_label("Because").fill("Only one of three.")
    check_both(page, assert_accessible)
    page.get_by_role("button", name="Keep it").tap()
    expect(page.get_by_role("main")).to_contain_text("cannot tell yet. Only one of three.")

    decide(host_page, {ASKS: "different, worse"}, reason="Paper.", by="Odile")
    expect(page.get_by_role("main")).to_contain_text("Decided: different, worse")


def test_paper_is_typed_in_by_digits_and_letters(lab: ServedLab, laptop: BrowserContext) -> None:
    page = laptop.new_page()
    poured(laptop.new_page(), page, lab)
    expect(page.locator(".keyboard")).to_contain_text("the letter under a word")

    page.keyboard.type("w")
    page.keyboard.type("3.5")
    expect(page.locator(".ask .own")).to_have_text("3.5")
    # "better" comes first and has the b, so that "body" is said by its second letter.
    page.keyboard.type("bo")

    expect(word(page, "better")).to_have_attribute("aria-pressed", "true")
    expect(word(page, "body")).to_have_attribute("aria-pressed", "true")
    expect(word(page, "worse")).to_have_attribute("aria-pressed", "false")
    underlined = word(page, "body").locator("u")
    expect(underlined).to_have_text("o")
    assert "underline" in underlined.evaluate("(sign) => getComputedStyle(sign).textDecorationLine")
    # In a note letters are letters.
    page.get_by_role("button", name="Note on").click()
    page.keyboard.type("w")
    page.get_by_role("button", name="Close the note").click()
    expect(word(page, "worse")).to_have_attribute("aria-pressed", "false")


# The texts of a picture that run over each other or beyond their box.
CLASHES = """(codes) => codes.filter((code) => {
  const [said, drawn] = [document.createRange(), code.parentElement.querySelector("svg")];
  said.selectNodeContents(code);
  const [words, bowl] = [said.getBoundingClientRect(), drawn.getBoundingClientRect()];
  const beside = words.right <= bowl.left + 1, above = words.bottom <= bowl.top + 1;
  return !(beside || above) || said.getClientRects().length > 1;
}).map((code) => code.textContent)"""


@pytest.mark.parametrize("width", [390, 768, 1280])
def test_an_open_bowl_is_legible_to_host_and_helper_and_poured_like_the_rest(
    lab: ServedLab,
    laptop: BrowserContext,
    open_context: Callable[..., BrowserContext],
    assert_accessible: Callable[[Page], None],
    width: int,
) -> None:
    size = {"width": width, "height": 844}
    host_page, page = laptop.new_page(), open_context(viewport=size).new_page()
    enter(host_page, lab.link())
    plan_apart(host_page, lab.host)
    set_by_the_card(host_page)
    host_page.get_by_role("button", name="Let a helper tap the pours").click()
    page.goto(lab.phones)
    page.get_by_label("Or type its 6 signs").fill(host_page.locator(".pass .typed").inner_text())
    page.get_by_role("button", name="Go on", exact=True).click()
    page.get_by_role("button", name="Help at the table").click()
    page.get_by_role("button", name="First pour, now").click()
    expect(page.get_by_role("button", name="First break, now")).to_be_visible()
    host_page.set_viewport_size(size)
    expect(host_page.get_by_role("button", name="First break, now")).to_be_visible()

    for each in (page, host_page):
        codes = each.locator(".coffee .code")
        expect(codes).to_have_count(7)
        expect(codes.last).to_have_text("open")
        assert codes.evaluate_all(CLASHES) == []
        assert each.evaluate("document.documentElement.scrollWidth <= innerWidth")
        each.get_by_role("img", name="open, bowl 1").click()
        expect(each.get_by_role("heading", name="The open bowl")).to_be_visible()
        check_both(each, assert_accessible)
