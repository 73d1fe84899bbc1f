"""A flood: thirty-eight offers, three tasters, two mornings; planned and rehearsed by a stranger.

Measured by hand as in `test_monday`: three minutes for something new, common practice, no source.
"""

from by_hand import Hand
from in_the_browser import enter
from playwright.sync_api import BrowserContext, Page, expect

from served_lab import ServedLab

OFFERS = tuple(f"Offer {number}; {6 + number / 20:.2f}; 600" for number in range(101, 139))
NEW_S = 180


def plan_screening(page: Page, hand: Hand) -> None:
    hand.tap(page.get_by_role("link", name="Which of these is worth buying?"))
    hand.paste(page.get_by_label("Which coffees"), "\n".join(OFFERS))
    hand.type(page.get_by_label("Who tastes"), "Ines\nTomas\nWren")
    hand.type(page.get_by_label("Who sets the table"), "Maren")
    hand.type(page.get_by_label("Control"), "Old Post")
    hand.type(page.get_by_label("What to call it"), "October")
    hand.tap(page.get_by_role("button", name="Draw the codes"))
    hand.tap(page.get_by_role("button", name="Draw 4 flights"))


def test_thirty_eight_offers_are_planned_and_a_flight_rehearsed(
    lab: ServedLab, laptop: BrowserContext, complaints: list[str]
) -> None:
    page = laptop.new_page()
    enter(page, lab.link())

    hand = Hand(is_stranger=True)
    plan_screening(page, hand)
    flights = page.get_by_role("link", name="Flight")
    expect(flights).to_have_count(4)
    assert hand.taps <= 8
    assert hand.seconds <= NEW_S

    # 38 over four: ten at most, and the control in each.
    expect(page.get_by_role("main")).to_contain_text("11 codes.")
    flights.first.click()
    rehearsing = Hand()
    rehearsing.tap(page.get_by_role("link", name="Rehearse"))
    rehearsing.tap(page.get_by_role("button", name="\u00d730"))
    rehearsing.tap(page.get_by_role("button", name="First pour, now"))
    cue = page.locator("h1.say")
    expect(cue).to_contain_text("Break", timeout=20_000)
    rehearsing.tap(page.get_by_role("button", name="First break, now"))
    expect(cue).to_contain_text("Taste", timeout=60_000)
    assert rehearsing.taps == 4
    # No offer's name, and no price, in what is rehearsed before the names are known.
    assert "Offer 1" not in page.content()
    # That one table does not take them was said once, with what to do.
    assert all("422" in said for said in complaints)
    complaints.clear()
