"""What the host's page says of seats and devices: how far each is, and nothing that was marked."""

from collections.abc import Callable
from datetime import datetime
from typing import Any

import segno
from markupsafe import Markup

from crustbreak.ports.live_state import Check
from crustbreak.ports.repository import Pass
from crustbreak.services.tables.views import DeviceLine, HostView, LiveView, SeatLine

# A page that is open asks every three seconds, or every fifteen while its stream is open.
SILENT_AFTER_S = 40
# Below this nobody would see it on a clock.
CLOCK_APART_S = 60
# Slower than this and a tap seems to do nothing.
SLOW_MS = 1000


def seat_line(line: SeatLine, view: LiveView) -> dict[str, Any]:
    """Return what is polled of one seat: what to say of it and of its devices."""
    return {
        "id": line.seat.id,
        "taster": line.seat.taster,
        "is": seat_text(line),
        "left_out": line.view.left_out,
        "devices": [
            {
                "grip": each.grip,
                "is": device_text(each, view.now),
                "warns": check_text(each.check),
                "refused": each.refused,
            }
            for each in line.devices
        ],
    }


def seat_view(line: SeatLine, view: HostView, join_url: Callable[[str], str]) -> dict[str, Any]:
    """Return one seat with what can be done about it."""
    is_open = view.state.flight not in ("uncovered", "decided", "abandoned")
    return {
        **seat_line(line, view),
        "paper_code": line.paper_code,
        "leave": pass_view(line.leave, join_url),
        "may_change": is_open,
        "may_leave_out": is_open and sum(each.view.left_out is None for each in view.seats) > 1,
        "admissible": line.admissible,
    }


def seat_text(line: SeatLine) -> str:
    """Return in words how far a taster is, and nothing of what was marked."""
    if line.view.left_out is not None:
        return "left out"
    if line.view.state == "handed in":
        return _handed_in_text(line)
    held = [each for each in line.devices if each.holds]
    if not held:
        return "no phone yet"
    if not line.kept:
        return "has a phone"
    missing = f", {line.view.missing} on the way" if line.view.missing else ""
    return f"{line.kept} in the lab{missing}"


def _handed_in_text(line: SeatLine) -> str:
    if line.view.missing:
        waits = "entry" if line.view.missing == 1 else "entries"
        return f"handed in, waits for {line.view.missing} {waits}"
    if line.view.called:
        return "handed in and called"
    return f"handed in, {len(line.view.calls)} called"


def device_text(device: DeviceLine, now: datetime) -> str:
    """Return in words which device it is, when it was heard, and whether its clock is off."""
    said = [f"device {device.grip}"]
    if device.refused:
        return f"{said[0]}: not us"
    said.append(_heard_text(device.heard_at, now))
    if not device.holds:
        said.append("given up for a newer one")
    off = _clock_text(device.offset_ms)
    return ", ".join([*said, off] if off else said)


def _heard_text(heard_at: datetime | None, now: datetime) -> str:
    if heard_at is None:
        return "not heard since the lab was opened"
    silent_s = max(0.0, (now - heard_at).total_seconds())
    if silent_s < SILENT_AFTER_S:
        return "in reach"
    if silent_s < 120:
        return f"silent for {silent_s:.0f} s"
    return f"silent for {silent_s / 60:.0f} min"


def _clock_text(offset_ms: float | None) -> str:
    if offset_ms is None or abs(offset_ms) < CLOCK_APART_S * 1000:
        return ""
    word = "slow" if offset_ms > 0 else "fast"
    return f"its clock is {abs(offset_ms) / 60_000:.0f} min {word}, which is put right"


def check_text(check: Check | None) -> str:
    """Return in words what is wrong with a device that tried itself out; empty when all is well."""
    if check is None:
        return ""
    faults = [
        ("keeps nothing by itself: paper beside it", not check.keeps),
        ("hears of changes late", not check.streams),
        (f"slow Wi-Fi, {check.round_trip_ms:.0f} ms an answer", check.round_trip_ms > SLOW_MS),
    ]
    return "; ".join(said for said, holds in faults if holds)


def tried_text(view: LiveView) -> str:
    """Return in words whether a phone was tried before the grinding, and what it found."""
    devices = [each for line in view.seats for each in line.devices if each.check]
    if not devices and any(line.kept for line in view.seats):
        # What a phone found is not kept when the lab stops; what it said is.
        return "A phone works: what it said is in the lab."
    if not devices:
        return (
            "No phone has been tried yet. Try one before you grind: once the water is on, the "
            "coffee does not wait for the Wi-Fi."
        )
    faults = [said for said in (check_text(each.check) for each in devices) if said]
    if not faults:
        return "A phone was tried: it keeps marks, and the lab hears it."
    return f"A phone was tried and is not all right: {'; '.join(dict.fromkeys(faults))}."


def pass_view(leave: Pass | None, join_url: Callable[[str], str]) -> dict[str, Any] | None:
    """Return an open pass as a code to be typed and one to be scanned."""
    if leave is None:
        return None
    return {"code": spaced(leave.code), "qr": draw_qr(join_url(leave.token))}


def spaced(code: str) -> str:
    """Write a code in two halves, as it is read out.

    >>> spaced("K7Q2MV")
    'K7Q 2MV'
    """
    return f"{code[:3]} {code[3:]}"


def draw_qr(url: str) -> Markup:
    """Draw an address as a QR code, dark on light in both schemes, for a phone's camera."""
    code = segno.make(url, error="m")
    return Markup(code.svg_inline(scale=1, border=2, dark="#000", light="#fff", omitsize=True))
