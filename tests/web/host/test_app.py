import re

import pytest
from at_the_door import SETTINGS, new_links
from at_the_table import COFFEES, finish, planned, seated, uncovered, under_way
from fastapi.testclient import TestClient

from crustbreak.ports.lab import Lab
from crustbreak.services.tables.actions import table_set
from crustbreak.web.host.app import host_app

PLAN = {
    "coffees": "- Marrow Hill\n- Sallow Bridge\n- Fen Cross\n",
    "tasters": "Odile",
    "setter": "Piet",
    "cut_off": "84,5",
    "occasion": "Morning offers",
}
VERDICT = {
    "word:Marrow Hill": "buy",
    "word:Sallow Bridge": "decline",
    "word:Fen Cross": "look again",
    "reason": "The best of three.",
    "decided_by": "Piet",
}


def test_plans_a_table_and_goes_to_it(host: TestClient, lab: Lab) -> None:
    answer = host.post("/plan/choose", data=PLAN)

    table = lab.repository.read(lambda records: records.tables())[0]
    assert (answer.status_code, answer.headers["location"]) == (303, f"/tables/{table.id}")
    assert (table.cut_off, table.occasion) == (84.5, "Morning offers")


def test_shows_what_was_typed_again_with_every_fault(host: TestClient, lab: Lab) -> None:
    answer = host.post("/plan/choose", data={**PLAN, "coffees": "One <b>\nTwo", "cut_off": "high"})

    assert answer.status_code == 422
    assert "One &lt;b&gt;\nTwo" in answer.text
    assert 'value="high"' in answer.text
    assert "Give 3 to 14 names." in answer.text
    assert "Give the figure that decides." in answer.text
    assert lab.repository.read(lambda records: records.tables()) == ()


def test_starts_from_the_people_of_the_last_table(host: TestClient, lab: Lab) -> None:
    planned(lab, tasters=("Odile", "Anouk"), setter="Piet")

    page = host.get("/plan/choose").text

    assert "Odile\nAnouk" in page
    assert 'value="Piet"' in page


def test_today_says_what_waits(host: TestClient, lab: Lab) -> None:
    empty = host.get("/").text
    planned(lab)

    page = host.get("/").text

    assert "No table yet. Ask the first question." in empty
    assert "1 table is waiting." in page
    assert "Fill the bowls by the card: Morning offers." in page


def test_names_no_coffee_while_codes_are_sealed(host: TestClient, lab: Lab) -> None:
    # The host's screen stands beside the table: nobody may read a name off it by accident.
    table = under_way(lab)

    pages = [host.get(path).text for path in ("/", f"/tables/{table.id}")]

    assert not any(coffee in page for coffee in COFFEES for page in pages)


def test_opens_the_card_for_the_setter_before_the_pour(host: TestClient, lab: Lab) -> None:
    table = planned(lab)

    card = host.post(f"/tables/{table.id}/card")
    table_set(lab, table)
    again = host.post(f"/tables/{table.id}/card")

    assert all(coffee in card.text for coffee in COFFEES)
    assert "The table is set" in card.text
    assert "The table is set" not in again.text


def test_the_card_shows_classes_and_no_other_page_does(host: TestClient, lab: Lab) -> None:
    table = planned(lab, order_classes=(2, 1, 2))
    plain = planned(lab)

    card = host.post(f"/tables/{table.id}/card").text

    assert card.index("Class 1") < card.index("Sallow Bridge") < card.index("Class 2")
    assert "Class 2" not in host.get(f"/tables/{table.id}").text
    assert "Class 1" not in host.post(f"/tables/{plain.id}/card").text


def test_a_table_says_where_each_taster_begins(host: TestClient, lab: Lab) -> None:
    table = planned(lab, tasters=("Odile", "Anouk"))
    starts = [
        table.places[seat.tasting_order.start].code for seat in table.seats if seat.tasting_order
    ]

    page = host.get(f"/tables/{table.id}").text

    assert f"Begin: Odile at {starts[0]} and Anouk at {starts[1]};" in page


def test_a_plan_to_mend_keeps_its_lines_of_dashes_and_its_tick(host: TestClient) -> None:
    typed = {"coffees": "One\n---\nTwo", "tasters": "Odile", "fully_random": "yes"}

    page = host.post("/plan/choose", data=typed).text

    assert "One\n---\nTwo</textarea>" in page
    assert 'name="fully_random" value="yes" checked' in page


def test_refuses_the_card_after_the_pour(host: TestClient, lab: Lab) -> None:
    table = under_way(lab)

    answer = host.post(f"/tables/{table.id}/card")

    assert answer.status_code == 403
    assert "The codes are sealed" in answer.text
    assert not any(coffee in answer.text for coffee in COFFEES)


def test_offers_no_card_once_a_pour_was_tapped_and_taken_back(host: TestClient, lab: Lab) -> None:
    table = planned(lab)
    for tap in ("set", "pour", "undo-pour"):
        host.post(f"/tables/{table.id}/taps/{tap}")

    page = host.get(f"/tables/{table.id}").text

    assert "First pour, now" in page
    assert "Open the card" not in page
    assert "Codes are sealed." in page


def test_shows_no_card_for_a_mere_address(host: TestClient, lab: Lab) -> None:
    # What a browser prefetches or a history reopens must not count as a look at the key.
    table = planned(lab)

    assert host.get(f"/tables/{table.id}/card").status_code == 405


def test_takes_the_taps(host: TestClient, lab: Lab) -> None:
    table = planned(lab)

    for tap in ("set", "pour", "break"):
        assert host.post(f"/tables/{table.id}/taps/{tap}").status_code == 303
    page = host.get(f"/tables/{table.id}").text

    assert "Skim. First round from " in page
    assert "since the first pour" in page


@pytest.mark.parametrize(("tap", "status"), [("uncover", 409), ("dance", 404)])
def test_says_why_a_tap_cannot_be(host: TestClient, lab: Lab, tap: str, status: int) -> None:
    table = planned(lab)

    answer = host.post(f"/tables/{table.id}/taps/{tap}")

    assert answer.status_code == status
    assert "<h1" in answer.text
    assert "Today" in answer.text


def test_gives_the_live_piece_of_a_table(host: TestClient, lab: Lab) -> None:
    table = under_way(lab)

    piece = host.get(f"/tables/{table.id}/live").text

    assert "<html" not in piece
    assert 'data-flight="under way"' in piece


def test_goes_from_calls_to_a_memo(host: TestClient, lab: Lab) -> None:
    table = under_way(lab)
    finish(lab, seated(lab, table))

    host.post(f"/tables/{table.id}/taps/uncover")
    deciding = host.get(f"/tables/{table.id}").text
    answer = host.post(f"/tables/{table.id}/verdict", data=VERDICT)
    decided = host.get(f"/tables/{table.id}").text
    memo = host.get(f"/tables/{table.id}/memo")

    assert "The codes have names. Decide." in deciding
    assert answer.status_code == 303
    assert "Marrow Hill: buy" in decided
    assert "Buy Marrow Hill." in memo.text
    assert "unsafe-inline" not in memo.headers["content-security-policy"]


def test_gives_the_memo_as_pdf_under_a_name_for_a_file(host: TestClient, lab: Lab) -> None:
    table = under_way(lab)
    finish(lab, seated(lab, table))
    host.post(f"/tables/{table.id}/taps/uncover")
    host.post(f"/tables/{table.id}/verdict", data=VERDICT)

    printed = host.get(f"/tables/{table.id}/memo.pdf")

    assert f'href="/tables/{table.id}/memo.pdf"' in host.get(f"/tables/{table.id}").text
    assert printed.headers["content-type"] == "application/pdf"
    assert printed.content.startswith(b"%PDF-1.7")
    assert re.fullmatch(
        r'inline; filename="decision-memo-[a-z0-9-]+\.pdf"', printed.headers["content-disposition"]
    )


def test_keeps_what_was_typed_of_a_verdict_that_lacks_a_word(host: TestClient, lab: Lab) -> None:
    table = uncovered(lab)
    lacking = {**VERDICT, "word:Fen Cross": "", "decided_by": ""}

    answer = host.post(f"/tables/{table.id}/verdict", data=lacking)

    assert answer.status_code == 422
    assert "The best of three." in answer.text
    assert 'name="word:Marrow Hill" value="buy" checked' in answer.text
    assert "Type the name of the person who decides." in answer.text


def test_gives_a_table_up(host: TestClient, lab: Lab) -> None:
    table = under_way(lab)

    host.post(f"/tables/{table.id}/abandon", data={"reason": "spilt"})

    assert "This table was given up." in host.get(f"/tables/{table.id}").text
    assert "Given up." in host.get("/").text


@pytest.mark.parametrize("path", ["/tables/nothing", "/tables/nothing/memo", "/plan/none", "/x"])
def test_says_that_a_page_is_not_there(host: TestClient, path: str) -> None:
    answer = host.get(path)

    assert answer.status_code == 404
    assert "<h1" in answer.text


def test_reads_a_form_in_a_charset_of_its_own(host: TestClient) -> None:
    body = (
        b'--x\r\nContent-Disposition: form-data; name="coffees"\r\n'
        b"Content-Type: text/plain; charset=utf-7\r\n\r\n+2AA-\r\n--x--\r\n"
    )
    kind = "multipart/form-data; boundary=x; charset=utf-7"

    answer = host.post("/plan/choose", content=body, headers={"content-type": kind})

    assert answer.status_code in (400, 422)


def test_says_that_an_address_takes_no_such_act(host: TestClient, lab: Lab) -> None:
    answer = host.get(f"/tables/{planned(lab).id}/card")

    assert "There is no such act on this page." in answer.text


def test_escapes_hostile_names(host: TestClient, lab: Lab) -> None:
    hostile = "<script>alert(1)</script>"
    host.post("/plan/choose", data={**PLAN, "tasters": hostile, "occasion": hostile})
    table = lab.repository.read(lambda records: records.tables())[0]

    pages = [host.get(path).text for path in ("/", f"/tables/{table.id}")]

    assert not any(hostile in page for page in pages)


def test_mounts_nothing_of_the_floor(lab: Lab) -> None:
    app = host_app(lab, SETTINGS, new_links(lab))

    assert not {"/entries", "/sheet", "/join"} & {
        getattr(route, "path", "") for route in app.routes
    }
