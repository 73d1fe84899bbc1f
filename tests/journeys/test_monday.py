"""Monday alone: fourteen batches, one kettle, one person, one device of a phone's size.

Measured by hand: three minutes to plan fourteen new batches, one to plan them once more, before
the grinding begins; common practice, no source.
"""

from collections.abc import Callable

from by_hand import Hand
from in_the_browser import enter
from playwright.sync_api import BrowserContext, Page, expect

from served_lab import ServedLab

BATCHES = tuple(f"Batch {number}" for number in range(4411, 4425))
NEW_S, REPEAT_S = 180, 60


def plan_new(page: Page, hand: Hand) -> None:
    """Plan as somebody who has never seen the page, in a lab of which nothing is known."""
    hand.tap(page.get_by_role("link", name="Which of these is worth buying?"))
    hand.paste(page.get_by_label("Which coffees"), "\n".join(BATCHES))
    hand.type(page.get_by_label("Who tastes"), "Odile")
    hand.type(page.get_by_label("Who sets the table"), "Odile")
    hand.tap(page.get_by_text("Numbered bowls"))
    hand.tap(page.get_by_role("button", name="Draw the codes"))
    hand.tap(page.get_by_role("link", name="Filling card"))
    expect(page.locator(".filling li")).to_have_count(len(BATCHES))


def plan_again(page: Page, hand: Hand) -> None:
    hand.tap(page.get_by_role("link", name="Same as last time"))
    hand.tap(page.get_by_role("button", name="Draw the codes"))
    hand.tap(page.get_by_role("link", name="Filling card"))
    expect(page.locator(".filling li")).to_have_count(len(BATCHES))


def rehearse(page: Page, hand: Hand) -> None:
    """Play the whole table through, from the first pour to the first round."""
    hand.tap(page.get_by_role("link", name="Rehearse"))
    hand.tap(page.get_by_role("button", name="\u00d730"))
    hand.tap(page.get_by_role("button", name="First pour, now"))
    cue = page.locator("h1.say")
    # Fourteen bowls at eight seconds a bowl are poured well before the break.
    expect(cue).to_contain_text("Pour")
    expect(cue).to_contain_text("Break A", timeout=20_000)
    hand.tap(page.get_by_role("button", name="First break, now"))
    expect(cue).to_contain_text("Skim", timeout=30_000)
    expect(cue).to_contain_text("Taste", timeout=60_000)


def test_fourteen_batches_are_planned_and_rehearsed_alone(
    lab: ServedLab,
    new_phone: Callable[[], BrowserContext],
    assert_accessible: Callable[[Page], None],
) -> None:
    page = new_phone().new_page()
    enter(page, lab.link())

    stranger = Hand(is_stranger=True)
    plan_new(page, stranger)
    assert stranger.taps <= 8
    assert stranger.seconds <= NEW_S
    # One bowl each, since more could not be tasted in time: common practice, no source.
    expect(page.locator(".numbered")).to_have_count(len(BATCHES))
    hand = Hand()
    page.get_by_role("link", name="Back to the table").click()
    rehearse(page, hand)
    assert_accessible(page)
    assert hand.taps == 4

    page.goto(lab.host)
    again = Hand()
    plan_again(page, again)
    assert again.taps == 3
    assert again.seconds <= REPEAT_S
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
