"""The devices that the journeys use do what the journeys rely on."""

from collections.abc import Callable, Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread

import pytest
from playwright.sync_api import BrowserContext, Page

STRICT = "default-src 'none'; style-src 'self'; script-src 'self'; frame-ancestors 'none'"
GOOD = """<!doctype html><html lang="en"><title>Table</title>
<main><h1>Table</h1><button>Hand in</button></main></html>"""
BAD = """<!doctype html><html lang="en"><title>Table</title>
<main><h1>Table</h1><button id="nameless"></button></main></html>"""
INLINE = GOOD.replace("</main>", "<script>document.title = 'run'</script></main>")
PAGES = {"/good": GOOD, "/bad": BAD, "/inline": INLINE, "/favicon.ico": ""}


class Pages(BaseHTTPRequestHandler):
    def do_GET(self) -> None:
        self.send_response(200)
        self.send_header("Content-Type", "text/html; charset=utf-8")
        self.send_header("Content-Security-Policy", STRICT)
        self.end_headers()
        self.wfile.write(PAGES[self.path].encode())

    def log_message(self, *args: object) -> None:
        """Keep the test's output clean."""


@pytest.fixture(scope="module")
def site() -> Iterator[str]:
    with ThreadingHTTPServer(("127.0.0.1", 0), Pages) as server:
        Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://lab.test:{server.server_port}"
        server.shutdown()


def test_an_accessible_page_passes_under_a_strict_policy(
    laptop: BrowserContext, site: str, assert_accessible: Callable[[Page], None]
) -> None:
    page = laptop.new_page()
    page.goto(f"{site}/good")

    assert_accessible(page)


def test_a_fault_is_told_with_rule_target_and_help(
    phone: BrowserContext, site: str, assert_accessible: Callable[[Page], None]
) -> None:
    page = phone.new_page()
    page.goto(f"{site}/bad")

    with pytest.raises(AssertionError, match=r"button-name at #nameless: Buttons must have"):
        assert_accessible(page)


def test_what_the_policy_refuses_is_heard(
    laptop: BrowserContext, site: str, complaints: list[str]
) -> None:
    page = laptop.new_page()
    page.goto(f"{site}/inline")

    assert page.title() == "Table"
    assert any("Content Security Policy" in said for said in complaints)
    complaints.clear()


def test_a_script_that_fails_is_heard(
    laptop: BrowserContext, site: str, complaints: list[str]
) -> None:
    page = laptop.new_page()
    page.goto(f"{site}/good")

    page.evaluate("setTimeout(() => { throw new Error('spilt') })")
    page.wait_for_timeout(100)

    assert complaints == ["script: spilt"]
    complaints.clear()


def test_the_lab_is_not_a_secure_context(phone: BrowserContext, site: str) -> None:
    page = phone.new_page()
    page.goto(f"{site}/good")

    assert page.evaluate("window.isSecureContext") is False
    assert page.evaluate("navigator.maxTouchPoints") > 0


def test_phones_share_nothing(new_phone: Callable[[], BrowserContext], site: str) -> None:
    first, second = new_phone().new_page(), new_phone().new_page()
    for page in (first, second):
        page.goto(f"{site}/good")

    first.evaluate("localStorage.setItem('seat', '1')")

    assert second.evaluate("localStorage.getItem('seat')") is None
