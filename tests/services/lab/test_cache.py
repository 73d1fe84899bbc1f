from crustbreak.services.lab.cache import REMEMBERED, MemoryCache


def test_remembers_what_was_worked_out_until_something_is_added() -> None:
    cache = MemoryCache()
    cache.remember("table", (1, 2), "a state")

    assert cache.recall("table", (1, 2)) == "a state"
    assert cache.recall("table", (1, 3)) is None
    assert cache.recall("other", (1, 2)) is None


def test_forgets_the_oldest_when_there_is_too_much() -> None:
    cache = MemoryCache()
    for number in range(REMEMBERED + 1):
        cache.remember(f"table {number}", 1, number)

    assert cache.recall("table 0", 1) is None
    assert cache.recall(f"table {REMEMBERED}", 1) == REMEMBERED
