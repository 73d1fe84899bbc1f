"""One person, one device of a phone's size, and nobody who could keep a key: numbered bowls."""

from collections.abc import Callable

from in_the_browser import SheetToType, decide, enter, fill_in, hand_in_and_call, settled
from playwright.sync_api import BrowserContext, Page, expect

from served_lab import ServedLab

LINES = ("fragrance_aroma", "flavor", "aftertaste", "acidity", "body", "balance", "overall")
POINTS = {"Marrow Hill": 8.0, "Sallow Bridge": 7.5, "Fen Cross": 8.5}
# Where the person put the trays down, without looking: this test is the only one who knows.
STOOD = {"A": "Fen Cross", "B": "Marrow Hill", "C": "Sallow Bridge"}


def sheet(name: str) -> SheetToType:
    return SheetToType(points=dict.fromkeys(LINES, POINTS[name]))


def plan_alone(page: Page, lab: ServedLab) -> None:
    page.get_by_role("link", name="Which of these is worth buying?").click()
    page.get_by_label("Which coffees").fill("\n".join(POINTS))
    page.get_by_label("Who tastes").fill("Odile")
    page.get_by_label("Who sets the table").fill("Odile")
    page.get_by_label("Cut-off, points").fill("80")
    page.get_by_text("Numbered bowls").click()
    page.get_by_role("button", name="Draw the codes").click()


def numbers_of(page: Page) -> dict[str, list[str]]:
    """Read off the filling card which numbers a coffee's bowls have."""
    page.get_by_role("link", name="Filling card").click()
    return {
        row.locator(".say").inner_text(): row.locator(".numbered b").all_inner_texts()
        for row in page.locator(".card li").all()
    }


def wash(page: Page, place: str, number: str, check: str) -> None:
    row = page.locator(".wash li", has=page.get_by_text(place, exact=True))
    row.get_by_label("First bowl").fill(number)
    row.get_by_label("Second bowl").fill(check)


def test_one_person_alone_is_blind_until_the_numbers_are_read(
    lab: ServedLab,
    new_phone: Callable[[], BrowserContext],
    assert_accessible: Callable[[Page], None],
    complaints: list[str],
) -> None:
    device = new_phone()
    host = device.new_page()
    enter(host, lab.link())
    plan_alone(host, lab)
    assert_accessible(host)
    bowls = numbers_of(host)
    assert_accessible(host)
    host.get_by_role("button", name="Filled and shuffled").click()
    host.get_by_role("button", name="First pour, now").click()
    host.get_by_role("button", name="First break, now").click()

    tasting = device.new_page()
    tasting.goto(host.locator(".address").text_content() or "")
    tasting.get_by_role("button", name="Odile").click()
    tasting.get_by_role("button", name="Sit down as Odile").click()
    expect(tasting.locator(".step")).to_be_visible()
    fill_in(tasting, {code: sheet(name) for code, name in STOOD.items()})
    hand_in_and_call(tasting, dict.fromkeys(STOOD, "look again"))
    tasting.get_by_role("button", name="I think I knew B").click()
    expect(tasting.get_by_role("button", name="I think I knew B")).to_have_attribute(
        "aria-pressed", "true"
    )
    assert_accessible(tasting)

    host.get_by_role("link", name="Read the numbers").click()
    for place, name in STOOD.items():
        wash(host, place, bowls[name][2], bowls[name][4])
    # The second bowl of the last row is misread: it belongs to another one.
    wash(host, "C", bowls["Sallow Bridge"][0], bowls["Fen Cross"][1])
    host.get_by_role("button", name="Keep the numbers").click()
    expect(host.get_by_role("alert")).to_contain_text("all bowls of a row are of one coffee")
    for scheme in ("light", "dark"):
        host.emulate_media(color_scheme=scheme, reduced_motion="reduce")
        assert_accessible(host)
    assert host.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    wash(host, "C", bowls["Sallow Bridge"][0], bowls["Sallow Bridge"][1])
    host.get_by_role("button", name="Keep the numbers").click()
    host.get_by_role("button", name="Uncover").click()

    expect(host.get_by_role("main")).to_contain_text("Odile thought to know B.")
    settled(tasting)
    for code, name in STOOD.items():
        expect(tasting.get_by_role("region", name=name)).to_contain_text(f"{code} {name}")
    decide(host, dict.fromkeys(POINTS, "look again"), reason="Alone.", by="Odile")
    host.get_by_role("link", name="Decision memo").click()
    memo = host.get_by_role("main")
    expect(memo).to_contain_text("Odile filled bowls with numbers underneath")
    expect(memo).not_to_contain_text("was not blind")
    # The form with a fault was the one complaint.
    assert len(complaints) == 1
    assert "422" in complaints[0]
    complaints.clear()
