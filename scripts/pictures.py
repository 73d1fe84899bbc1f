"""Take a picture of every page, for looking at: two sizes, light and dark, into build/pictures."""

import os
import shutil
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

ROOT = Path(__file__).parents[1]
sys.path += [str(ROOT / "tests" / "acting"), str(ROOT / "scripts")]

from in_the_browser import SheetToType, enter, fill_in, join, settled  # noqa: E402

from served_lab import LAB_HOST, ServedLab, served_lab  # noqa: E402

INTO = ROOT / "build" / "pictures"
SIZES = {"phone": (390, 844), "laptop": (1280, 800)}
FLAGS = (
    *("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
    f"--host-resolver-rules=MAP {LAB_HOST} 127.0.0.1",
)
LINES = ("fragrance_aroma", "flavor", "aftertaste", "acidity", "body", "balance", "overall")


def take(page: Page, name: str) -> None:
    """Take one page as it stands, at every size, in both schemes."""
    before = page.viewport_size
    for size, (width, height) in SIZES.items():
        page.set_viewport_size({"width": width, "height": height})
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
            page.screenshot(path=INTO / f"{name}-{size}-{scheme}.png", full_page=True)
    if before:
        page.set_viewport_size(before)


def host_pages(page: Page, lab: ServedLab) -> str:
    """Take the host's pages up to the pour; give the address of the table that was poured."""
    page.goto(lab.host)
    take(page, "not-entered")
    enter(page, lab.link())
    take(page, "today")
    page.goto(f"{lab.host}/plan/choose")
    take(page, "plan")
    page.get_by_role("button", name="Draw the codes").evaluate("key => key.form.noValidate = true")
    page.get_by_role("button", name="Draw the codes").click()
    take(page, "plan-to-mend")
    page.goto(f"{lab.host}/plan/choose")
    page.get_by_label("Which coffees").fill("Tarn; 7.25; 600\nFen; 8\nHask\nEly\nKelda")
    page.get_by_role("button", name="Look first").click()
    take(page, "plan-looked")
    page.goto(f"{lab.host}/house")
    take(page, "house")
    page.goto(lab.host)
    page.get_by_role("link", name="Harbour offers", exact=True).click()
    take(page, "decided")
    page.get_by_role("link", name="Decision memo").click()
    take(page, "memo")
    page.goto(lab.host)
    page.get_by_role("link", name="Go to the table").first.click()
    take(page, "set")
    address = page.url
    page.get_by_role("button", name="Open the card again").click()
    take(page, "card")
    page.goto(address)
    return address


def phone_parts(host: Page, phone: Page, lab: ServedLab) -> None:
    """Take the phone's page part by part, with the host's page beside it."""
    phone.goto(lab.phones)
    take(phone, "phone-stranger")
    phone.goto("about:blank")
    phone.goto(host.locator(".address").text_content() or "")
    phone.get_by_role("button", name="Ines").wait_for()
    take(phone, "phone-join")
    join(host, phone, "Ines")
    host.get_by_role("button", name="First pour, now").click()
    host.wait_for_timeout(20_000)
    take(host, "poured")
    host.get_by_role("button", name="First break, now").click()
    host.wait_for_timeout(20_000)
    take(host, "broken")
    take(phone, "phone-scale")
    phone.get_by_role("button", name="Cool").click()
    code = phone.locator(".step").get_attribute("data-code")
    phone.get_by_role("button", name=f"Bowl 2 of {code}").click()
    take(phone, "phone-bowls")
    phone.get_by_role("button", name="Hand in", exact=True).click()
    settled(phone)
    take(phone, "phone-open-lines")
    phone.get_by_role("button", name="Back to the sheet").click()
    settled(phone)
    phone.get_by_role("button", name="Smell").click()
    codes = [each.inner_text() for each in host.locator(".coffee .code").all()]
    fill_in(phone, dict.fromkeys(codes, SheetToType(points=dict.fromkeys(LINES, 8.0))))
    settled(phone)
    phone.get_by_role("button", name="Hand in", exact=True).click()
    phone.get_by_role("heading", name="Handed in. Now your call.").wait_for()
    settled(phone)
    take(phone, "phone-call")
    for each in codes:
        phone.get_by_role("button", name=f"{each}: look again", exact=True).click()
    host.get_by_role("button", name="Uncover").wait_for()
    take(host, "called")
    host.get_by_role("button", name="Uncover").click()
    take(host, "decide")
    phone.get_by_text("86.00").first.wait_for()
    take(phone, "phone-uncovered")


def open_device(browser: Browser, size: str) -> BrowserContext:
    """Open a device of a size, with a storage of its own."""
    width, height = SIZES[size]
    return browser.new_context(viewport={"width": width, "height": height})


def main() -> None:
    """Serve the demo lab, walk through it, take everything."""
    INTO.mkdir(parents=True, exist_ok=True)
    program = shutil.which(os.environ.get("CHROMIUM", "chromium"))
    with (
        tempfile.TemporaryDirectory() as folder,
        served_lab(Path(folder) / "lab", demo=True) as lab,
        sync_playwright() as playwright,
    ):
        browser = playwright.chromium.launch(executable_path=program, args=[*FLAGS])
        host = open_device(browser, "laptop").new_page()
        host_pages(host, lab)
        phone_parts(host, open_device(browser, "phone").new_page(), lab)
        browser.close()
    print(f"{len(list(INTO.glob('*.png')))} pictures in {INTO.relative_to(ROOT)}")


if __name__ == "__main__":
    main()
