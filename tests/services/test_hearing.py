from at_the_table import MORNING

from crustbreak.ports.hearing import Check
from crustbreak.services.hearing import ShortMemory, ThreadBell


def test_remembers_when_a_device_was_heard_and_by_how_much_its_clock_is_off() -> None:
    memory = ShortMemory()
    memory.hear("phone", MORNING, offset_ms=600_000)

    memory.hear("phone", MORNING)

    assert memory.last("phone") == MORNING
    assert memory.offset_ms("phone") == 600_000
    assert memory.last("other") is None
    assert memory.offset_ms("other") is None


def test_remembers_what_a_device_found() -> None:
    memory = ShortMemory()
    check = Check(keeps=True, streams=True, round_trip_ms=8, offset_ms=0)

    memory.note("phone", check)

    assert memory.checked("phone") == check
    assert memory.checked("other") is None


def test_counts_wrong_codes_until_it_forgets_them() -> None:
    memory = ShortMemory()
    memory.wrong_code(MORNING)

    before = memory.wrong_code(MORNING)
    memory.forget_codes()

    assert before == (MORNING, MORNING)
    assert memory.wrong_code(MORNING) == (MORNING,)


def test_rings_for_those_who_listen_to_that_table_until_they_stop() -> None:
    bell, heard = ThreadBell(), []
    end = bell.listen("one", lambda: heard.append("first"))
    bell.listen("one", lambda: heard.append("second"))
    bell.listen("two", lambda: heard.append("other"))

    bell.ring("one")
    end()
    bell.ring("one")
    bell.ring("nobody's")

    assert heard == ["first", "second", "second"]
