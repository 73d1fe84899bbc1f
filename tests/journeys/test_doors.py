"""What a real browser makes of the doors: cookies, origins, policies."""

from in_the_browser import enter, plan
from playwright.sync_api import BrowserContext, Page, expect

from served_lab import ServedLab

NAMES = ("Marrow Hill", "Sallow Bridge", "Fen Cross")

# A page that another program of this laptop serves, asking as it pleases.
ASK = """async ({url, method}) => {
  try {
    const answer = await fetch(url, {method, headers: {Authorization: "Bearer x"}});
    return [answer.status, answer.headers.get("Crustbreak-Now"), await answer.text()];
  } catch { return [0, null, ""]; }
}"""


def ask(page: Page, url: str, method: str = "GET") -> list[object]:
    answered: list[object] = page.evaluate(ASK, {"url": url, "method": method})
    return answered


def test_a_browser_enters_by_the_link_and_another_does_not(
    lab: ServedLab, laptop: BrowserContext, phone: BrowserContext, complaints: list[str]
) -> None:
    link = lab.link()
    page, other = laptop.new_page(), phone.new_page()

    enter(page, link)
    page.goto("about:blank")
    page.goto(lab.host)
    other.goto(link)

    expect(page.get_by_role("heading", name="Ask a question")).to_be_visible()
    expect(other.get_by_role("main")).to_contain_text("crustbreak link")
    # The refusal is the one complaint.
    assert all("403" in said for said in complaints)
    complaints.clear()
    plan(page, lab.host, NAMES, tasters="Odile", cut_off="84")
    expect(page.get_by_role("button", name="Open the card")).to_be_visible()


def test_a_page_of_an_address_before_reaches_the_lab_at_the_new_one(
    lab: ServedLab, phone: BrowserContext, complaints: list[str]
) -> None:
    page = phone.new_page()
    page.goto(lab.phones)

    now = f"http://127.0.0.1:{lab.phone_port}"
    read, write = ask(page, f"{now}/"), ask(page, f"{now}/entries", "POST")

    assert (read[0], write[0]) == (200, 403)
    assert all(str(answer[1]).endswith("Z") for answer in (read, write))
    complaints.clear()


def test_a_page_of_the_floor_reaches_nothing_else(
    lab: ServedLab, laptop: BrowserContext, complaints: list[str]
) -> None:
    page = laptop.new_page()
    enter(page, lab.link())

    page.goto(lab.phones)
    asked = [ask(page, f"{lab.host}/{path}") for path in ("", "plan/choose")]

    # The policy of the phones' page names the phone app's port alone.
    assert asked == [[0, None, ""]] * 2
    assert any("Content Security Policy" in said for said in complaints)
    complaints.clear()
