"""A host at the laptop and a taster with a phone, acted in a real browser."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from playwright.sync_api import Page, expect

from served_lab import ServedLab


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetToType:
    """One coffee's sheet as a taster would type it.

    points:  scale line to points.
    flags:   cups line to {bowl: touches}: how often each bowl that differs is touched.
    note:    a text, or empty.
    """

    points: Mapping[str, float]
    flags: Mapping[str, Mapping[int, int]] = field(default_factory=dict)
    note: str = ""


def enter(laptop: Page, link: str) -> None:
    """Open the one-time link; the browser is known from then on."""
    laptop.goto(link)
    expect(laptop.get_by_role("heading", name="Ask a question")).to_be_visible()


def plan(laptop: Page, host: str, coffees: Sequence[str], *, tasters: str, cut_off: str) -> None:
    """Plan a table from today's page."""
    laptop.goto(host)
    laptop.get_by_role("link", name="Which of these is worth buying?").click()
    laptop.get_by_label("Which coffees").fill("\n".join(coffees))
    laptop.get_by_label("Who tastes").fill(tasters)
    laptop.get_by_label("Who sets the table").fill("Piet")
    laptop.get_by_label("Cut-off, points").fill(cut_off)
    laptop.get_by_label("What to call it").fill("Morning offers")
    laptop.get_by_role("button", name="Draw the codes").click()


def set_by_the_card(laptop: Page) -> dict[str, str]:
    """Open the card, read off which coffee goes under which code, put it away."""
    laptop.get_by_role("button", name="Open the card").click()
    rows = laptop.locator(".card li")
    names = {
        row.locator(".code").inner_text(): row.locator(".say").inner_text() for row in rows.all()
    }
    laptop.get_by_role("button", name="The table is set").click()
    return names


def join(laptop: Page, phone: Page, taster: str) -> None:
    """Open the address of the QR code on the phone and take a seat."""
    phone.goto(laptop.locator(".address").text_content() or "")
    phone.get_by_role("button", name=taster).click()
    phone.get_by_role("button", name=f"Sit down as {taster}").click()
    expect(phone.locator(".step")).to_be_visible()


def fill_in(phone: Page, sheets: Mapping[str, SheetToType]) -> None:
    """Go through the sheet by Next, from the first line to the hand-in page.

    Args:  sheets: code to what is typed for it.
    """
    while phone.locator(".step").count():
        step = phone.locator(".step")
        line, code = step.get_attribute("data-line"), step.get_attribute("data-code")
        assert line is not None
        assert code is not None
        sheet = sheets[code]
        if line in sheet.points:
            type_points(phone, sheet.points[line])
        else:
            phone.locator("cups-line .key.all").click()
            for bowl, touches in sheet.flags.get(line, {}).items():
                for _ in range(touches):
                    phone.get_by_role("button", name=f"Bowl {bowl} of {code}").click()
        if line == "overall" and sheet.note:
            type_note(phone, code, sheet.note)
        phone.locator(".move .key.on").click()


def type_points(phone: Page, points: float) -> None:
    """Press the whole point, then the part of it."""
    whole, part = divmod(points, 1)
    keys = phone.locator("scale-line")
    keys.get_by_role("button", name=f"{whole:g}", exact=True).click()
    keys.get_by_role("button", name=f"{part:.2f}"[1:], exact=True).click()
    expect(phone.locator(".ask .own")).to_have_text(f"{points:.2f}")


def type_note(phone: Page, code: str, note: str) -> None:
    """Open the note of a code, type, close it."""
    phone.get_by_role("button", name=f"Note on {code}").click()
    phone.get_by_role("textbox").fill(note)
    phone.get_by_role("button", name="Close the note").click()


def hand_in_and_call(phone: Page, words: Mapping[str, str]) -> None:
    """Hand a whole sheet in and call every code."""
    expect(phone.get_by_role("heading", name="All lines are marked.")).to_be_visible()
    settled(phone)
    phone.get_by_role("button", name="Hand in", exact=True).click()
    expect(phone.get_by_role("heading", name="Handed in. Now your call.")).to_be_visible()
    settled(phone)
    for code, word in words.items():
        key = phone.get_by_role("button", name=f"{code}: {word}", exact=True)
        key.click()
        expect(key).to_have_attribute("aria-pressed", "true")


def settled(phone: Page) -> None:
    """Wait until the page listens: right after a change it takes no touch, against mis-hits."""
    expect(phone.locator("main.settling")).to_have_count(0)


def decide(laptop: Page, words: Mapping[str, str], *, reason: str, by: str) -> None:
    """Give the verdict and keep it."""
    for coffee, word in words.items():
        group = laptop.get_by_role("group", name=coffee, exact=True)
        group.get_by_text(word, exact=True).click()
    laptop.get_by_label("Why").fill(reason)
    laptop.get_by_label("Who decides").fill(by)
    laptop.get_by_role("button", name="Keep this verdict").click()


def helping(laptop: Page, helper: Page, lab: ServedLab) -> None:
    """Let a device help at a table that is set."""
    enter(laptop, lab.link())
    plan(laptop, lab.host, ("One", "Two", "Three"), tasters="Odile", cut_off="84")
    set_by_the_card(laptop)
    laptop.get_by_role("button", name="Let a helper tap the pours").click()
    code = laptop.locator(".pass .typed").inner_text()
    helper.goto(lab.phones)
    helper.get_by_label("Or type its 6 signs").fill(code)
    helper.get_by_role("button", name="Go on", exact=True).click()
    helper.get_by_role("button", name="Help at the table").click()
    expect(helper.get_by_role("button", name="First pour, now")).to_be_visible()
