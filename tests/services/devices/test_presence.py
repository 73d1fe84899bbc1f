from at_the_table import MORNING

from crustbreak.ports.live_state import Check
from crustbreak.services.devices.presence import MemoryPresence


def test_remembers_when_a_device_was_heard_and_by_how_much_its_clock_is_off() -> None:
    presence = MemoryPresence()
    presence.hear("phone", MORNING, offset_ms=600_000)

    presence.hear("phone", MORNING)

    assert presence.last("phone") == MORNING
    assert presence.offset_ms("phone") == 600_000
    assert presence.last("other") is None
    assert presence.offset_ms("other") is None


def test_remembers_what_a_device_found() -> None:
    presence = MemoryPresence()
    check = Check(keeps=True, streams=True, round_trip_ms=8, offset_ms=0)

    presence.note("phone", check)

    assert presence.checked("phone") == check
    assert presence.checked("other") is None
