"""A headless browser for the journeys: a laptop, and as many phones as a table needs."""

import os
import shutil
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from served_lab import LAB_HOST, ServedLab, served_lab

# LAB_HOST stands for the laptop's address on the roastery's network. A page from 127.0.0.1
# counts as secure to a browser and would hide what a phone on plain http lacks.

FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    f"--host-resolver-rules=MAP {LAB_HOST} 127.0.0.1",
)
LAPTOP = {"viewport": {"width": 1280, "height": 800}}
PHONE = {
    "viewport": {"width": 390, "height": 844},
    "device_scale_factor": 3,
    "has_touch": True,
    "is_mobile": True,
}
# Two browsers may share two cores with others: nothing is measured by this.
PATIENCE_MS = 20_000
CLOSING_S = 15


class StillClosing(Exception):
    """A browser has not answered in time."""


@contextmanager
def at_most(seconds: float) -> Iterator[None]:
    """Do this for so long at most, and go on.

    One closing in a hundred is never answered by the browser, whatever the test did before. All has
    been checked by then; the device stays open, and is gone with the browser.
    """

    def ring(_signal: int, _frame: object) -> None:
        raise StillClosing

    # The limit of the whole test runs on the same clock, and goes on afterwards.
    before = signal.signal(signal.SIGALRM, ring)
    left, _ = signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    except StillClosing:
        pass
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)
        signal.setitimer(signal.ITIMER_REAL, left)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Start one Chromium for all journeys."""
    name = os.environ.get("CHROMIUM", "chromium")
    program = shutil.which(name)
    if program is None:
        pytest.fail(
            f"The program '{name}' is not here, so no journey can be tried.\n"
            "hint: as root, run: apt-get update && apt-get install chromium"
        )
    expect.set_options(timeout=PATIENCE_MS)
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=program, args=[*FLAGS])
        yield running
        with at_most(CLOSING_S):
            running.close()


@pytest.fixture
def complaints() -> Iterator[list[str]]:
    """Collect what pages complain about, and want nothing left at the end.

    A journey that provokes a complaint, such as one that takes the server away, checks it and
    clears the list.
    """
    said: list[str] = []
    yield said
    assert not said, "the pages complained:\n" + "\n".join(said)


@pytest.fixture
def open_context(
    browser: Browser, complaints: list[str]
) -> Iterator[Callable[..., BrowserContext]]:
    """Give a maker of devices, each with its own storage and cookies."""
    opened: list[BrowserContext] = []

    def open_one(**device: object) -> BrowserContext:
        context = browser.new_context(**device)
        context.set_default_timeout(PATIENCE_MS)
        context.on("weberror", lambda error: complaints.append(f"script: {error.error}"))
        context.on(
            "console",
            lambda message: (
                complaints.append(f"console: {message.text}") if message.type == "error" else None
            ),
        )
        opened.append(context)
        return context

    yield open_one
    for context in opened:
        with at_most(CLOSING_S):
            context.close()


@pytest.fixture
def laptop(open_context: Callable[..., BrowserContext]) -> BrowserContext:
    return open_context(**LAPTOP)


@pytest.fixture
def new_phone(open_context: Callable[..., BrowserContext]) -> Callable[[], BrowserContext]:
    """Give a maker of phones, for a table with several tasters."""
    return lambda: open_context(**PHONE)


@pytest.fixture
def phone(new_phone: Callable[[], BrowserContext]) -> BrowserContext:
    return new_phone()


@pytest.fixture(scope="session")
def assert_accessible() -> Callable[[Page], None]:
    """Give the check that a page, as it stands now, breaks no accessibility rule.

    The checker is evaluated from outside the page, which a strict content security policy
    allows: the page's own policy stays as a phone meets it.
    """
    axe = Axe()

    def check(page: Page) -> None:
        violations = axe.run(page).response["violations"]
        faults = [
            f"{violation['id']} at {' '.join(map(str, node['target']))}: {violation['help']}"
            for violation in violations
            for node in violation["nodes"]
        ]
        assert not faults, f"{page.url} is not accessible:\n" + "\n".join(faults)

    return check


@pytest.fixture
def lab(tmp_path: Path) -> Iterator[ServedLab]:
    """Serve an empty lab by the real command, in a process of its own."""
    with served_lab(tmp_path / "lab") as served:
        yield served
