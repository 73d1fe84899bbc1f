"""What joining costs a phone on a bad Wi-Fi: everything, from the address to the sheet."""

from in_the_browser import enter, join, plan, set_by_the_card
from playwright.sync_api import BrowserContext, expect

from served_lab import ServedLab

# Fetched once the sheet stands, so that it can be handed in without the Wi-Fi.
AFTER_THE_JOIN = (
    "phone-notices.js",
    "lab-address.js",
    "phone-check.js",
    "check",
    # Asked again as soon as something has changed: how often depends on the machine.
    "/state",
    "hand-in.js",
    "open-lines.js",
    "lazy-css.js",
    "later.css",
    "phone-call.js",
    "choices.js",
    "own-marks.js",
)
# The target that the project has set itself: page, styles, script, and all that is asked for.
MOST_BYTES = 60_000


def test_joining_costs_at_most_sixty_kilobytes(
    lab: ServedLab, laptop: BrowserContext, phone: BrowserContext
) -> None:
    host_page, page = laptop.new_page(), phone.new_page()
    enter(host_page, lab.link())
    plan(host_page, lab.host, ("One", "Two", "Three"), tasters="Odile", cut_off="84")
    set_by_the_card(host_page)
    wire = phone.new_cdp_session(page)
    wire.send("Network.enable")
    named: dict[str, str] = {}
    sizes: dict[str, float] = {}
    wire.on(
        "Network.responseReceived",
        lambda told: named.update({told["requestId"]: told["response"]["url"]}),
    )
    wire.on(
        "Network.loadingFinished",
        lambda told: sizes.update({told["requestId"]: told["encodedDataLength"]}),
    )

    join(host_page, page, "Odile")
    page.wait_for_load_state("load")

    joined = {
        name: size
        for name, size in sizes.items()
        if not named.get(name, "").endswith(AFTER_THE_JOIN)
    }
    assert len(joined) > 30
    total = sum(joined.values())
    assert total <= MOST_BYTES, f"{total:.0f} bytes in {len(joined)} answers"


def test_what_comes_after_the_sheet_is_here_before_the_wifi_goes(
    lab: ServedLab, laptop: BrowserContext, phone: BrowserContext, complaints: list[str]
) -> None:
    host_page, page = laptop.new_page(), phone.new_page()
    enter(host_page, lab.link())
    plan(host_page, lab.host, ("One", "Two", "Three"), tasters="Odile", cut_off="84")
    set_by_the_card(host_page)
    host_page.get_by_role("button", name="First pour, now").click()
    with page.expect_request_finished(lambda asked: asked.url.endswith(AFTER_THE_JOIN[-1])):
        join(host_page, page, "Odile")

    page.route("**/*", lambda route: route.abort())
    page.get_by_role("button", name="Hand in", exact=True).click()
    page.get_by_role("button", name="Hand in all the same").click()

    expect(page.get_by_role("heading", name="Handed in. Now your call.")).to_be_visible()
    # It goes on asking, and each time in vain is a complaint.
    page.close()
    complaints.clear()
