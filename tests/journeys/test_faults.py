"""The network goes, the lab is killed, and the table ends as if nothing had happened."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from at_the_table import opened_lab
from in_the_browser import enter, join, plan, set_by_the_card, settled, type_points
from playwright.sync_api import BrowserContext, Page, expect

from crustbreak.services.tables.state import snapshot_in
from served_lab import LAB_HOST, ServedLab

# Nine steps: the smell round and six lines of the hot one, each with a value of its own.
POINTS = (7.0, 7.25, 7.5, 7.75, 8.0, 8.25, 8.5, 8.75, 9.0)
TEN_MINUTES_FAST = """(() => {
  const Real = Date;
  const fast = () => Real.now() + 600_000;
  window.Date = class extends Real {
    constructor(...given) { super(...(given.length ? given : [fast()])); }
    static now() { return fast(); }
  };
})()"""

Cell = tuple[str, int, str, int | None]


@dataclass(frozen=True, slots=True)
class Tasting:
    """A lab, its host's page and two phones at one table that was just poured."""

    lab: ServedLab
    host: Page
    phones: tuple[Page, Page]

    def mark(self, first: int, last: int) -> None:
        """Let both mark the steps from first to last, one after the other."""
        for nth in range(first, last):
            for shift, phone in enumerate(self.phones):
                settled(phone)
                type_points(phone, POINTS[nth] + shift * 0.25)
                phone.locator(".move .key.on").click()

    def end(self) -> None:
        """Hand both sheets in as they are, call every code, uncover."""
        for phone in self.phones:
            settled(phone)
            phone.get_by_role("button", name="Hand in", exact=True).click()
            settled(phone)
            phone.get_by_role("button", name="Hand in all the same").click()
            heading = phone.get_by_role("heading", name="Handed in. Now your call.")
            expect(heading).to_be_visible()
            settled(phone)
            for key in phone.get_by_role("button", name="look again").all():
                key.click()
        self.host.get_by_role("button", name="Uncover").click()
        expect(self.host.get_by_role("heading", level=1)).to_contain_text("The codes have names")

    def close(self) -> None:
        """Put every page away, then stop the lab."""
        for page in (self.host, *self.phones):
            page.close()
        self.lab.stop()


def begin(lab: ServedLab, laptop: BrowserContext, phones: tuple[Page, Page]) -> Tasting:
    host = laptop.new_page()
    enter(host, lab.link())
    plan(host, lab.host, ("One", "Two", "Three"), tasters="Odile\nAnouk", cut_off="84")
    set_by_the_card(host)
    for phone, taster in zip(phones, ("Odile", "Anouk"), strict=True):
        join(host, phone, taster)
    host.get_by_role("button", name="First pour, now").click()
    host.get_by_role("button", name="First break, now").click()
    for phone in phones:
        expect(phone.get_by_role("button", name="Hand in", exact=True)).to_be_visible()
    return Tasting(lab, host, phones)


def values(folder: Path) -> tuple[dict[Cell, Any], int]:
    """Give what counts in a lab that is closed, by taster and place, and how often ids repeat."""
    with opened_lab(folder) as (lab, _):
        table = lab.repository.read(lambda records: records.tables())[0]
        state = lab.repository.read(lambda records: snapshot_in(lab, records, table))
        kept = lab.repository.read(lambda records: records.entries(table.id))
    place_at = {place.id: nth for nth, place in enumerate(table.places)}
    found = {
        (seat.taster, place_at[mark.place_id], mark.line, mark.cup): mark.value
        for seat in table.seats
        for mark in state.seats[seat.id].marks
    }
    ids = Counter(each.entry.id for each in kept)
    numbers = Counter((each.entry.seat_id, each.entry.grip, each.entry.no) for each in kept)
    return found, sum(count - 1 for count in (*ids.values(), *numbers.values()))


@pytest.fixture
def two_phones(new_phone: Callable[[], BrowserContext]) -> tuple[Page, Page]:
    one, other = new_phone(), new_phone()
    other.add_init_script(TEN_MINUTES_FAST)
    return one.new_page(), other.new_page()


def expected(folder: Path) -> dict[Cell, float]:
    """Give what was typed, worked out from each taster's way and the order of the lines."""
    with opened_lab(folder) as (lab, _):
        seats = lab.repository.read(lambda records: records.tables())[0].seats
    typed: dict[Cell, float] = {}
    for shift, seat in enumerate(seats):
        assert seat.tasting_order is not None
        # Round by round, place by place, line by line: the smell round has one line, and the hot
        # one, which goes back the other way, has two.
        steps = [(place, "fragrance_aroma") for place in seat.tasting_order.there]
        steps += [
            (place, line) for place in seat.tasting_order.back for line in ("flavor", "aftertaste")
        ]
        for (place, line), point in zip(steps, POINTS, strict=True):
            typed[seat.taster, place, line, None] = point + shift * 0.25
    return typed


def test_a_lost_network_and_a_killed_lab_change_nothing(
    lab: ServedLab,
    laptop: BrowserContext,
    two_phones: tuple[Page, Page],
    complaints: list[str],
) -> None:
    tasting = begin(lab, laptop, two_phones)
    one, other = two_phones

    tasting.mark(0, 3)
    one.context.set_offline(True)
    tasting.mark(3, 5)
    lab.kill()
    tasting.mark(5, 7)
    expect(other.locator(".sent")).to_contain_text("on this phone")
    lab.start()
    one.context.set_offline(False)
    tasting.mark(7, 9)
    for phone in two_phones:
        expect(phone.locator(".sent")).not_to_contain_text("on this phone", timeout=30_000)
    expect(tasting.host.locator("live-table[data-away]")).to_have_count(0)
    tasting.end()

    tasting.close()
    found, doubled = values(lab.folder)
    assert found == expected(lab.folder)
    assert doubled == 0
    assert all("net::ERR_" in said for said in complaints), complaints
    complaints.clear()


def test_the_same_script_without_faults(
    lab: ServedLab, laptop: BrowserContext, two_phones: tuple[Page, Page]
) -> None:
    tasting = begin(lab, laptop, two_phones)

    tasting.mark(0, 9)
    tasting.end()

    tasting.close()
    assert values(lab.folder) == (expected(lab.folder), 0)


def test_two_windows_a_reload_and_a_page_put_away_lose_nothing(
    lab: ServedLab,
    laptop: BrowserContext,
    two_phones: tuple[Page, Page],
) -> None:
    tasting = begin(lab, laptop, two_phones)
    one, _ = two_phones
    address = one.url
    window = one.context.new_page()
    window.goto(address)
    expect(window.locator(".step")).to_be_visible()

    tasting.mark(0, 2)
    settled(window)
    window.get_by_role("button", name="Hand in", exact=True).click()
    expect(window.get_by_role("heading", level=1)).to_contain_text("lines are open")
    one.reload()
    expect(one.locator(".step")).to_be_visible()
    tasting.mark(2, 4)
    one.goto("about:blank")
    one.goto(address)
    expect(one.locator(".step")).to_be_visible()
    window.close()
    tasting.mark(4, 9)
    tasting.end()

    tasting.close()
    assert LAB_HOST in address
    assert values(lab.folder) == (expected(lab.folder), 0)
