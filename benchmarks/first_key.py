"""How long a phone takes to its first key, on a slow phone with bad Wi-Fi and on a quick one.

A taster scans the code, sees the names, touches one, and can mark. *Names* is from the address
to the names, *key* from the touch to the first key of the sheet. Each is the middle of a few
runs, every run on a phone that has never seen the page. *Slow* is a processor four times slower
and a network of 400 ms and 400 kbit/s, as browsers' own tools mean it by a slow 3G.

Run it by hand: python benchmarks/first_key.py [CHROMIUM]. It takes about a minute.
"""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

from playwright.sync_api import Browser, BrowserContext, CDPSession, sync_playwright

ROOT = Path(__file__).parents[1]
sys.path += [str(ROOT / "tests" / "acting"), str(ROOT / "scripts")]

from in_the_browser import enter, plan, set_by_the_card  # noqa: E402

from served_lab import LAB_HOST, served_lab  # noqa: E402

RUNS = 5
FLAGS = (
    *("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
    f"--host-resolver-rules=MAP {LAB_HOST} 127.0.0.1",
)
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}
BYTES_PER_S = 400_000 / 8
SLOW_3G = {
    "offline": False,
    "latency": 400,
    "downloadThroughput": BYTES_PER_S,
    "uploadThroughput": BYTES_PER_S,
}
SLOWER = 4
PATIENCE_MS = 120_000


@contextmanager
def phone_of(browser: Browser) -> Iterator[BrowserContext]:
    context = browser.new_context(**PHONE)
    context.set_default_timeout(PATIENCE_MS)
    yield context
    context.close()


def slow_down(wire: CDPSession) -> None:
    wire.send("Network.emulateNetworkConditions", SLOW_3G)
    wire.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})


def join_once(browser: Browser, address: str, taster: str, *, slow: bool) -> tuple[float, ...]:
    """Join on a fresh phone; give seconds to the names, seconds to the key, bytes."""
    with phone_of(browser) as phone:
        page = phone.new_page()
        wire = phone.new_cdp_session(page)
        wire.send("Network.enable")
        sizes: list[float] = []
        wire.on("Network.loadingFinished", lambda told: sizes.append(told["encodedDataLength"]))
        if slow:
            slow_down(wire)
        start = perf_counter()
        page.goto(address, wait_until="commit")
        page.get_by_role("button", name=taster, exact=True).wait_for()
        names_s = perf_counter() - start
        page.get_by_role("button", name=taster, exact=True).click()
        sit = page.get_by_role("button", name=f"Sit down as {taster}")
        sit.wait_for()
        start = perf_counter()
        sit.click()
        page.locator(".step .key").first.wait_for()
        return names_s, perf_counter() - start, sum(sizes)


def measure(browser: Browser) -> dict[str, list[tuple[float, ...]]]:
    tasters = [f"Taster {nth}" for nth in range(2 * RUNS)]
    with TemporaryDirectory() as folder, served_lab(Path(folder) / "lab") as lab:
        host = browser.new_page(viewport={"width": 1280, "height": 800})
        enter(host, lab.link())
        coffees = ("One", "Two", "Three")
        plan(host, lab.host, coffees, tasters="\n".join(tasters), cut_off="84")
        set_by_the_card(host)
        address = host.locator(".address").text_content() or ""
        found: dict[str, list[tuple[float, ...]]] = {"quick": [], "slow": []}
        # In turns, so that whatever else the machine does falls on both.
        for nth, taster in enumerate(tasters):
            way = "slow" if nth % 2 else "quick"
            found[way].append(join_once(browser, address, taster, slow=way == "slow"))
        return found


def main(program: str | None) -> None:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=program or "/usr/bin/chromium", args=[*FLAGS]
        )
        found = measure(browser)
        browser.close()
    middles = {
        way: [median(each) for each in zip(*runs, strict=True)] for way, runs in found.items()
    }
    for way, (names_s, key_s, size) in middles.items():
        ratio = (names_s + key_s) / sum(middles["quick"][:2])
        sys.stdout.write(
            f"{way:<8}names {names_s:5.2f} s   key {key_s:5.2f} s   together {ratio:5.1f} x"
            f"   {size / 1000:5.1f} kB\n"
        )


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else None)
