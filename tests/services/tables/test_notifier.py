from crustbreak.services.tables.notifier import ThreadNotifier


def test_rings_for_those_who_listen_to_that_table_until_they_stop() -> None:
    notifier, heard = ThreadNotifier(), []
    end = notifier.listen("one", lambda: heard.append("first"))
    notifier.listen("one", lambda: heard.append("second"))
    notifier.listen("two", lambda: heard.append("other"))

    notifier.ring("one")
    end()
    notifier.ring("one")
    notifier.ring("nobody's")

    assert heard == ["first", "second", "second"]
