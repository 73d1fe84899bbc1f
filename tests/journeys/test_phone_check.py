"""One phone tries itself out before anybody grinds, and both pages say what it found."""

import pytest
from in_the_browser import enter, join, plan
from playwright.sync_api import BrowserContext, Page, expect

from served_lab import ServedLab

NO_STORE = "indexedDB.open = () => { throw new DOMException('no', 'SecurityError') }"


def planned(laptop: Page, lab: ServedLab) -> None:
    enter(laptop, lab.link())
    plan(laptop, lab.host, ("One", "Two", "Three"), tasters="Odile", cut_off="84")
    expect(laptop.get_by_role("main")).to_contain_text("No phone has been tried yet.")


def test_a_phone_that_is_all_right_says_so_and_the_host_sees_it(
    lab: ServedLab, laptop: BrowserContext, phone: BrowserContext
) -> None:
    host_page, page = laptop.new_page(), phone.new_page()
    planned(host_page, lab)

    join(host_page, page, "Odile")

    expect(page.locator(".under")).to_contain_text("This phone keeps marks and the lab hears it.")
    expect(host_page.get_by_role("main")).to_contain_text(
        "A phone was tried: it keeps marks, and the lab hears it."
    )


@pytest.mark.parametrize(
    ("script", "on_the_phone", "at_the_host"),
    [
        (NO_STORE, "This phone cannot keep marks: see above.", "keeps nothing by itself"),
        ("delete Response.prototype.body", "The lab's word comes late", "hears of changes late"),
    ],
)
def test_a_phone_that_is_not_all_right_says_what_is_wrong(
    lab: ServedLab,
    laptop: BrowserContext,
    phone: BrowserContext,
    script: str,
    on_the_phone: str,
    at_the_host: str,
) -> None:
    phone.add_init_script(script)
    host_page, page = laptop.new_page(), phone.new_page()
    planned(host_page, lab)

    join(host_page, page, "Odile")

    expect(page.locator(".under")).to_contain_text(on_the_phone, timeout=8000)
    expect(host_page.get_by_role("main")).to_contain_text(at_the_host)
