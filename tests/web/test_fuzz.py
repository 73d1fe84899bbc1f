"""Whatever is sent to either app, it answers, and never with a fault of its own.

The addresses and shapes come from the apps' own descriptions; ids and secrets that exist are
put in among the made-up ones, so that what lies behind them is reached. The streams are left
out, since an answer that never ends cannot be read to its end.
"""

import json
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
import schemathesis
from at_a_match import ALIKE, planned_match, tasted_match
from at_the_door import HOST, PHONE_APP, SETTINGS, host_client, new_links, phone_client
from at_the_table import COFFEES, finish, opened_lab, planned, said, seated, uncovered, under_way
from fastapi import FastAPI
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from schemathesis import APIOperation, Case, GenerationMode
from schemathesis.python.asgi import get_client

from crustbreak.domain.planning import lab_settings
from crustbreak.domain.records.lab_settings import SHIPPED
from crustbreak.ports.lab import Lab
from crustbreak.services.devices.codes import give_pass
from crustbreak.services.devices.join import Seated, become_helper, take_seat
from crustbreak.services.planning.screening import plan_screening
from crustbreak.services.results.decide import decide
from crustbreak.services.tables.views import view_table
from crustbreak.web.host.app import TAPS, host_app
from crustbreak.web.host.plan.forms import read_plan
from crustbreak.web.phone.app import phone_app

QUICK, LONG = 8, 120
ENDING = ("/tables/{table_id}/abandon",)
STREAMS = ("/stream", "/tables/{table_id}/stream")
SEAT_SECRET, HELPER_SECRET = "a" * 32, "b" * 32
HALVES = ("\ud800", "\udc00", "a\ud83d", "\ud83d\ude00")

ENTRY = {
    "id": "0" * 32,
    "grip": 1,
    "no": 2,
    "kind": "mark",
    "sheet": "ten_line/1",
    "place": None,
    "cup": None,
    "line": "flavor",
    "round": "hot",
    "value": 7.5,
    "device_time": "2031-03-04T09:40:00.000Z",
}
MARK = {"line": "flavor", "round": "hot", "value": 7.5}
JSON = {"content-type": "application/json"}
BODIES = (
    b"",
    b"null",
    b"[]",
    b'{"entries": {}}',
    b'{"entries": [',
    b'{"entries": [\xff\xfe]}',
    b'{"token": "\\ud800", "secret": "\\ud800"}',
    b'{"code": ["\\udfff"], "offset_ms": NaN}',
    b'{"keeps": true, "streams": true, "round_trip_ms": Infinity, "offset_ms": 1e999}',
    b"[" * 5000,
    b"9" * 5000,
)
KINDS = ("application/json", "text/plain", "multipart/form-data", "application/json; charset=utf-7")
PLAN = {
    "occasion": "Offers",
    "coffees": "\n".join(COFFEES),
    "tasters": "Odile\nAnouk",
    "cut_off": "84",
    "setter": "Piet",
    "people": "2",
    "balanced": "yes",
    "sample_g": "250",
    "graded": "yes",
    "ground_min": "15",
    "swallowed": "0",
}
MATCH_PLAN = {
    "coffee_1": "Oskelan",
    "coffee_2": "Oskelan 2",
    "tasters": "Odile",
    "setter": "Piet",
    "cut_off": "1.5",
    "certainty": "95",
    "bowls": "4",
    "follows": "",
}
MEASURED = {
    "moisture:at_approval": "10.8",
    "moisture:found": "11,2",
    "moisture:least": "8",
    "moisture:most": "12.5",
    "score": "87.5",
    "tasters": "3",
    "tables": "1",
    "usual": "84",
    "by": "Odile",
}
CLAIMED = {
    "discharged": "2031-02-23",
    "cleared": "2031-02-25",
    "contract": "own",
    "own_days": "28",
    "own_from": "discharge",
    "clause": "7.2",
    "said:samples": "Seals 4411 to 4413",
    "by": "Odile",
}
FLOOD = "\n".join(f"Offer {nth}" for nth in range(15))
HOUSE = {
    "anchors": "Odile",
    "currency": "EUR",
    "protocol": SHIPPED.protocol,
    "bowl": SHIPPED.bowl,
    **{each.name: f"{getattr(SHIPPED, each.name):g}" for each in lab_settings.SETTINGS},
}
BOWL = {
    "kind": SHIPPED.bowl,
    "protocol": SHIPPED.protocol,
    "room_c": "22",
    "name": "Grey",
    "at_1": "10:00",
    "c_1": "68",
    "at_2": "15",
    "c_2": "63,5",
}
PROTOCOL = {
    "of": "",
    "title": "Ours",
    "dose_g": "9,3",
    "water_ml": "150",
    "steep_s": "240",
    "pour_c": "94",
    "stirs": "3",
    "bowl": "heavy ceramic",
}
VERDICT = {
    "reason": "Clean.",
    "decided_by": "Piet",
    "next_step": "Pay.",
    **{f"word:{name}": "buy" for name in COFFEES},
}
FORM_KINDS = ("urlencoded", "parts", "file", "utf-7 file", "cut", "utf-16")

Values = Mapping[str, tuple[Any, ...]]
# Read from the form by hand, so that the app's description does not tell what is in it.
TYPED = (
    "POST /first-looks/{look_id}/verdict",
    "POST /house",
    "POST /house/bowl",
    "POST /house/protocols",
    "POST /plan/{question_id}",
    "POST /tables/{table_id}/verdict",
    "POST /tables/{table_id}/wash-up",
    "POST /plan/{question_id}/first-look",
)
# Needs a mark that came after the uncovering.
ADMIT = "POST /tables/{table_id}/seats/{seat_id}/admit"
Draw = Callable[[Any], Any]
# Asks once and gives the status.
Call = Callable[[Case, Draw], int]


def evenly(most: int) -> settings:
    """Make the same cases on every run, and as many as are asked for."""
    return settings(
        max_examples=most,
        deadline=None,
        derandomize=True,
        database=None,
        suppress_health_check=list(HealthCheck),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """A lab in which something stands at every address.

    phone:   a taster's at the table under way, by SEAT_SECRET.
    known:   name of a part of an address, or of a body's field, to values that exist.
    at:      address to those that go together there; at any other, the first of each do.
    """

    lab: Lab
    phone: Seated
    known: Values
    at: Mapping[str, Mapping[str, Any]]


@contextmanager
def stage(folder: Path) -> Iterator[Stage]:
    with opened_lab(folder) as (lab, _):
        tasting, ready, spare = (
            under_way(lab, tasters=("Odile", "Anouk")),
            planned(lab),
            planned(lab),
        )
        named, past = uncovered(lab), uncovered(lab)
        decide(lab, past, dict.fromkeys(COFFEES, "buy"), reason="Clean.", decided_by="Piet")
        alone = under_way(lab, numbered=True)
        finish(lab, seated(lab, alone))
        arrived = planned_match(lab)
        tasted_match(lab, arrived, ALIKE)
        tables = (tasting, ready, spare, named, past, alone, arrived)
        token = view_table(lab, tasting.id).invitation
        phone = take_seat(lab, token, tasting.seats[0].id, SEAT_SECRET)
        become_helper(lab, give_pass(lab, tasting, None).token, HELPER_SECRET)
        finish(lab, seated(lab, tasting, 1))
        flood = plan_screening(lab, "choose", read_plan({**PLAN, "coffees": FLOOD}))
        yield Stage(
            lab=lab,
            phone=phone,
            known={
                "table_id": tuple(table.id for table in tables),
                "seat_id": tuple(seat.id for table in tables for seat in table.seats),
                "tap": tuple(TAPS),
                "place_id": tuple(place.id for table in tables for place in table.places),
                "cup": (1, 5, 0, -1),
                "fact": ("bowl-spilt", "dose-weighed", "heat-measured", "bowl-danced"),
                "figure": ("8,3", "heavy", ""),
                "name": ("0.1", "1.1", "nobody's"),
                "question_id": ("choose", "match"),
                "look_id": (flood.id,),
                "grip": (1, 2, 2**63, -1),
                "token": (token, give_pass(lab, ready, ready.seats[0].id).token),
                "secret": (SEAT_SECRET, HELPER_SECRET, "c" * 32),
                "reason": ("Called away.", "", "x" * 3000),
                "kind": ("standard glass", "bucket"),
                "cut_off": ("81", "82,25", "high"),
            },
            at={
                "/helper": {"secret": HELPER_SECRET},
                "/tables/{table_id}/card": {"table_id": ready.id},
                "/tables/{table_id}/card.pdf": {"table_id": ready.id},
                "/tables/{table_id}/taps/{tap}": {"table_id": ready.id},
                "/tables/{table_id}/abandon": {"table_id": spare.id},
                "/tables/{table_id}/filling": {"table_id": alone.id},
                "/tables/{table_id}/filling.pdf": {"table_id": alone.id},
                "/tables/{table_id}/wash-up": {"table_id": alone.id},
                "/tables/{table_id}/verdict": {"table_id": named.id},
                "/tables/{table_id}/memo": {"table_id": past.id},
                "/tables/{table_id}/memo.pdf": {"table_id": past.id},
                **{
                    f"/tables/{{table_id}}/{page}": {"table_id": arrived.id}
                    for page in ("physicals", "claim", "claim-pack", "claim-pack.pdf")
                },
            },
        )


def fill_known(case: Case, on: Stage, draw: Draw) -> None:
    """Put what exists into an address and a body: what goes together, a mixture, or nothing."""
    how = draw(st.sampled_from(("together", "together", "mixed", "as made up")))
    here = on.at.get(case.operation.path, {})
    for part in (case.path_parameters, case.body):
        if isinstance(part, dict) and how != "as made up":
            for name in sorted(set(part) & set(on.known)):
                values = on.known[name]
                first = here.get(name, values[0])
                part[name] = first if how == "together" else draw(st.sampled_from(values))


def signed(secret: str) -> dict[str, str]:
    return {"Authorization": f"Bearer {secret}"}


def can_be_wrong(operation: APIOperation) -> bool:
    """Tell whether an address takes anything that could be of the wrong shape."""
    asked = operation.definition.raw
    # Whatever stands in an address or a header is a text.
    texts = [each["schema"].get("type") == "string" for each in asked.get("parameters", ())]
    return "requestBody" in asked or not all(texts)


def fuzz(app: FastAPI, on: Stage, *, most: int, call: Call) -> Counter[tuple[str, int]]:
    """Ask at every address, rightly and wrongly; give how often each gave each status."""
    seen: Counter[tuple[str, int]] = Counter()
    every = [
        found.ok() for found in schemathesis.openapi.from_dict(app.openapi()).get_all_operations()
    ]
    # What ends a table comes last: nothing else could be done at it afterwards.
    for operation in sorted(every, key=lambda each: each.path in ENDING):
        if operation.path in STREAMS:
            continue
        ways = [GenerationMode.POSITIVE]
        ways += [GenerationMode.NEGATIVE] if can_be_wrong(operation) else []
        for way in ways:

            @evenly(most)
            @given(case=operation.as_strategy(generation_mode=way), data=st.data())
            def attempt(case: Case, data: st.DataObject) -> None:
                fill_known(case, on, data.draw)
                seen[case.operation.label, call(case, data.draw)] += 1

            attempt()
    return seen


def fuzz_phone_app(folder: Path, *, most: int) -> Counter[tuple[str, int]]:
    """Ask the phone app, as a taster's phone, as a helper and as neither."""
    with stage(folder) as on:
        app = phone_app(on.lab, SETTINGS)
        with get_client(app) as client:

            def call(case: Case, draw: Draw) -> int:
                secret = draw(st.sampled_from((SEAT_SECRET, HELPER_SECRET, "guess")))
                case.headers = {**(case.headers or {}), "Authorization": f"Bearer {secret}"}
                answer = case.call(base_url=PHONE_APP, session=client)
                assert answer.status_code < 500, answer.content
                if answer.status_code >= 400:
                    assert set(answer.json()["error"]) == {"message", "hint", "problems"}
                return answer.status_code

            return fuzz(app, on, most=most, call=call)


def fuzz_host(folder: Path, *, most: int) -> Counter[tuple[str, int]]:
    """Ask the host's app, in a browser that has entered."""
    with stage(folder) as on:
        links = new_links(on.lab)
        app = host_app(on.lab, SETTINGS, links)
        with get_client(app) as client:
            client.get(f"{HOST}/enter/{links.unused}", allow_redirects=False)
            client.headers["Origin"] = HOST

            def call(case: Case, draw: Draw) -> int:
                answer = case.call(base_url=HOST, session=client, allow_redirects=False)
                assert answer.status_code < 500, answer.content
                if answer.status_code >= 400:
                    assert answer.headers["content-type"][0].startswith("text/html")
                return answer.status_code

            return fuzz(app, on, most=most, call=call)


def unreached(seen: Counter[tuple[str, int]]) -> set[str]:
    """Name the addresses at which nothing was ever done."""
    return {label for label, _ in seen} - {label for label, status in seen if status < 400}


def test_the_floor_never_fails(tmp_path: Path) -> None:
    seen = fuzz_phone_app(tmp_path / "lab", most=QUICK)

    # A code is not guessed, and nothing on the phones uncovers a table.
    assert unreached(seen) == {"POST /code", "GET /uncovered"}


def test_the_host_never_fails(tmp_path: Path) -> None:
    seen = fuzz_host(tmp_path / "lab", most=QUICK)

    # A link is not guessed; what else is left is asked for below, with its form.
    assert unreached(seen) == {"GET /enter/{link}", *TYPED, ADMIT}


def texts() -> st.SearchStrategy[str]:
    """Give texts as phones and browsers mangle them, halves of signs among them."""
    ordinary = st.text(st.characters(), max_size=40)
    return st.one_of(ordinary, st.builds("".join, st.lists(st.sampled_from(HALVES) | ordinary)))


def entries() -> st.SearchStrategy[Any]:
    """Give what may stand in a batch: entries with any value in any field, and no entries."""
    odd = st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), texts(), st.just(10**400))
    things = st.recursive(odd, lambda inner: st.lists(inner) | st.dictionaries(texts(), inner))
    fields = {name: st.just(value) | things for name, value in ENTRY.items()}
    return st.fixed_dictionaries({}, optional=fields) | things


def fuzz_entries(folder: Path, *, most: int) -> Counter[str]:
    """Send batches of anything as a phone and as a helper; give how often which word came."""
    words: Counter[str] = Counter()
    with stage(folder) as on, phone_client(on.lab) as phones:

        @evenly(most)
        @given(st.lists(entries(), max_size=4), st.sampled_from((SEAT_SECRET, HELPER_SECRET)))
        def attempt(batch: list[Any], secret: str) -> None:
            # Half a sign or infinity is in no good JSON, and is sent all the same.
            body = json.dumps({"entries": batch}).encode()
            answer = phones.post("/entries", content=body, headers=signed(secret) | JSON)
            assert answer.status_code == 200, answer.text
            said_back = answer.json()["answers"]
            assert len(said_back) == len(batch)
            words.update(each["word"] for each in said_back)

        attempt()
        good = said(on.phone, 1, "mark", place=on.phone.table.places[0].id, **MARK)
        after = phones.post("/entries", json={"entries": [good]}, headers=signed(SEAT_SECRET))
        assert after.json()["answers"][0]["word"] == "kept"
    return words


def fuzz_bodies(folder: Path, *, most: int) -> Counter[int]:
    """Send bytes that are no batch at all; give how often which status came."""
    seen: Counter[int] = Counter()
    with stage(folder) as on, phone_client(on.lab) as phones:

        @evenly(most)
        @given(
            st.sampled_from(("/entries", "/check", "/join", "/code", "/helper", "/seats/x")),
            st.binary(max_size=60) | st.sampled_from(BODIES),
            st.sampled_from(KINDS),
        )
        def attempt(path: str, body: bytes, kind: str) -> None:
            headers = {**signed(SEAT_SECRET), "content-type": kind}
            answer = phones.post(path, content=body, headers=headers)
            assert 400 <= answer.status_code < 500, answer.text
            assert set(answer.json()["error"]) == {"message", "hint", "problems"}
            seen[answer.status_code] += 1

        attempt()
    return seen


def form(fields: Mapping[str, str], kind: str) -> tuple[bytes, str]:
    """Write a form as browsers do, or nearly: urlencoded, or in parts with or without a file."""
    raw = {name: text.encode("utf-8", "surrogatepass") for name, text in fields.items()}
    if kind == "urlencoded":
        pairs = (f"{quote(name)}={quote(text)}" for name, text in raw.items())
        return "&".join(pairs).encode(), "application/x-www-form-urlencoded"
    told = {"file": '; filename="x.txt"', "utf-7 file": "; filename*=utf-7''%FF"}.get(kind, "")
    parts = b"".join(
        f'--b\r\nContent-Disposition: form-data; name="{name}"{told}\r\n\r\n'.encode()
        + text
        + b"\r\n"
        for name, text in raw.items()
    )
    end = b"" if kind == "cut" else b"--b--\r\n"
    charset = "; charset=utf-16" if kind == "utf-16" else ""
    return parts + end, f"multipart/form-data; boundary=b{charset}"


def fuzz_forms(folder: Path, *, most: int) -> Counter[tuple[str, int]]:
    """Type anything into the host's forms, in every form of writing one."""
    seen: Counter[tuple[str, int]] = Counter()
    with stage(folder) as on, host_client(on.lab) as host:
        table, seat = on.known["table_id"], on.known["seat_id"]
        places = on.lab.repository.read(lambda records: records.table(table[5])).places
        numbers = [f"{field}:{place.id}" for place in places for field in ("number", "check")]
        forms = {
            "/plan/choose": PLAN,
            "/plan/choose/first-look": {**PLAN, "coffees": FLOOD},
            "/plan/match": MATCH_PLAN,
            f"/tables/{table[6]}/physicals": MEASURED,
            f"/tables/{table[6]}/claim": CLAIMED,
            "/house": HOUSE,
            "/house/bowl": BOWL,
            "/house/protocols": PROTOCOL,
            f"/tables/{table[3]}/verdict": VERDICT,
            f"/tables/{table[2]}/abandon": {"reason": "Spilt."},
            f"/tables/{table[5]}/wash-up": dict.fromkeys(numbers, "6"),
            f"/tables/{table[0]}/seats/{seat[0]}/leave-out": {"reason": "Called away."},
        }

        @evenly(most)
        @given(st.data(), st.sampled_from(sorted(forms)), st.sampled_from(FORM_KINDS))
        def attempt(data: st.DataObject, path: str, kind: str) -> None:
            typed = {
                name: text if data.draw(st.booleans()) else data.draw(texts())
                for name, text in forms[path].items()
            }
            body, written = form(typed, kind)
            answer = host.post(path, content=body, headers={"content-type": written})
            assert answer.status_code < 500, answer.text
            seen[path, answer.status_code] += 1
            assert host.get("/").status_code == 200

        attempt()
    return seen


def test_a_batch_of_anything_is_answered_entry_by_entry(tmp_path: Path) -> None:
    words = fuzz_entries(tmp_path / "lab", most=6 * QUICK)

    assert words["set aside"] > 20


def test_bytes_that_are_no_batch_are_told_so(tmp_path: Path) -> None:
    seen = fuzz_bodies(tmp_path / "lab", most=12 * QUICK)

    assert seen[422] > 20


def test_anything_typed_into_a_form_gets_a_page(tmp_path: Path) -> None:
    seen = fuzz_forms(tmp_path / "lab", most=12 * QUICK)

    assert {status for _, status in seen} >= {303, 422}


@pytest.mark.soak
def test_neither_app_fails_for_long(tmp_path: Path) -> None:
    fuzz_phone_app(tmp_path / "floor", most=LONG)
    fuzz_host(tmp_path / "host", most=LONG)
    fuzz_entries(tmp_path / "entries", most=6 * LONG)
    fuzz_bodies(tmp_path / "bodies", most=12 * LONG)
    fuzz_forms(tmp_path / "forms", most=12 * LONG)
