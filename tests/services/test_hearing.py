from at_the_table import MORNING

from crustbreak.ports.hearing import Check
from crustbreak.services.hearing import REMEMBERED, ShortMemory, ThreadBell


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


def test_remembers_what_was_worked_out_until_something_is_added() -> None:
    memory = ShortMemory()
    memory.remember("table", (1, 2), "a state")

    assert memory.recall("table", (1, 2)) == "a state"
    assert memory.recall("table", (1, 3)) is None
    assert memory.recall("other", (1, 2)) is None


def test_forgets_the_oldest_when_there_is_too_much() -> None:
    memory = ShortMemory()
    for number in range(REMEMBERED + 1):
        memory.remember(f"table {number}", 1, number)

    assert memory.recall("table 0", 1) is None
    assert memory.recall(f"table {REMEMBERED}", 1) == REMEMBERED
