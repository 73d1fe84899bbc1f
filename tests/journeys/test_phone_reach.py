"""The lab moves, or was put back to an earlier copy, while phones hold marks."""

import sqlite3
from collections.abc import Callable
from pathlib import Path
from shutil import copytree, rmtree

from in_the_browser import enter, join, plan, set_by_the_card
from playwright.sync_api import BrowserContext, Page, expect

from served_lab import ServedLab


def set_table(laptop: Page, lab: ServedLab) -> None:
    enter(laptop, lab.link())
    plan(laptop, lab.host, ("One", "Two", "Three"), tasters="Odile", cut_off="84")
    set_by_the_card(laptop)
    laptop.get_by_role("button", name="First pour, now").click()


def press(phone: Page, point: str) -> None:
    phone.locator("scale-line").get_by_role("button", name=point, exact=True).click()


def put_back(lab: ServedLab, copy: Path) -> None:
    """Put the lab back to a copy of itself, which begins another life."""
    lab.stop()
    rmtree(lab.folder)
    copytree(copy, lab.folder)
    records = next(
        each
        for each in lab.folder.rglob("*.db")
        if "incarnations" in each.read_bytes().decode("latin-1")
    )
    with sqlite3.connect(records) as written:
        written.execute(
            "insert into incarnations (arrival, incarnation, since, reason)"
            " select arrival + 1, 'second life', since, 'restored' from incarnations"
        )
    written.close()
    lab.start()


def test_a_phone_joins_a_restored_lab_again_by_itself(
    lab: ServedLab,
    laptop: BrowserContext,
    phone: BrowserContext,
    complaints: list[str],
    tmp_path: Path,
) -> None:
    host_page, page = laptop.new_page(), phone.new_page()
    set_table(host_page, lab)
    lab.stop()
    copytree(lab.folder, tmp_path / "copy")
    lab.start()
    host_page.reload()
    join(host_page, page, "Odile")
    press(page, "8")
    expect(page.locator(".sent")).to_contain_text("1 in the lab")

    put_back(lab, tmp_path / "copy")
    page.evaluate("dispatchEvent(new Event('focus'))")

    host_page.goto(host_page.url)
    expect(host_page.get_by_role("region", name="Tasters")).to_contain_text("1 in the lab")
    expect(page.locator(".sent")).to_contain_text("1 in the lab")
    expect(page.locator(".ask .own")).to_have_text("8.00")
    complaints.clear()


def test_a_typed_address_leads_to_the_lab_and_no_key_moves(
    lab: ServedLab,
    laptop: BrowserContext,
    phone: BrowserContext,
    complaints: list[str],
    assert_accessible: Callable[[Page], None],
) -> None:
    host_page, page = laptop.new_page(), phone.new_page()
    set_table(host_page, lab)
    # The lab names no address but the one that is about to go.
    page.add_init_script(ONE_ADDRESS)
    # The last of what a phone fetches, so that it can say this without the lab.
    with page.expect_request_finished(lambda asked: asked.url.endswith("own-marks.js")):
        join(host_page, page, "Odile")
    key = page.locator("scale-line").get_by_role("button", name="8", exact=True)
    before = key.bounding_box()

    page.route(f"{lab.phones}/**", lambda route: route.abort())
    press(page, "8")
    box = page.get_by_label("Another address on the laptop's page?")
    expect(box).to_be_visible(timeout=20_000)
    assert key.bounding_box() == before
    assert_accessible(page)
    box.fill("192.168.1")
    page.get_by_role("button", name="Try it").click()
    expect(page.locator(".notices")).to_contain_text("An address looks like 192.168.1.23.")
    box.fill(f"127.0.0.1:{lab.phone_port}")
    page.get_by_role("button", name="Try it").click()

    expect(page.locator(".sent")).to_contain_text("1 in the lab")
    expect(box).to_have_count(0)
    assert key.bounding_box() == before
    complaints.clear()


ONE_ADDRESS = """const real = Response.prototype.json;
Response.prototype.json = async function () {
  const said = await real.call(this);
  if (said?.addresses) said.addresses = [];
  return said;
};"""
