import asyncio
from collections.abc import AsyncIterator

import pytest

from crustbreak.services.tables.notifier import ThreadNotifier
from crustbreak.web.http.sse import LOOK, STREAMS_A_DEVICE, Streams, TooManyStreams


async def first(parts: AsyncIterator[str]) -> str:
    return await asyncio.wait_for(anext(parts), timeout=5)


def test_says_look_at_once_and_at_every_ring_from_any_thread() -> None:
    async def listen() -> list[str]:
        notifier = ThreadNotifier()
        parts = Streams(notifier).open("phone", "table").body_iterator
        said = [await first(parts)]
        await asyncio.to_thread(notifier.ring, "table")
        said.append(await first(parts))
        await parts.aclose()
        return said

    assert asyncio.run(listen()) == [LOOK, LOOK]


def test_many_rings_at_once_are_one_look() -> None:
    async def listen() -> tuple[str, bool]:
        notifier = ThreadNotifier()
        parts = Streams(notifier).open("phone", "table").body_iterator
        await first(parts)
        for _ in range(50):
            notifier.ring("table")
        look = await first(parts)
        again = asyncio.ensure_future(anext(parts))
        done, _ = await asyncio.wait([again], timeout=0.5)
        again.cancel()
        return look, bool(done)

    assert asyncio.run(listen()) == (LOOK, False)


def test_gives_a_device_two_streams_and_a_third_when_one_has_ended() -> None:
    async def listen() -> int:
        streams = Streams(ThreadNotifier())
        opened = [streams.open("phone", "table").body_iterator for _ in range(STREAMS_A_DEVICE)]
        for parts in opened:
            await first(parts)
        with pytest.raises(TooManyStreams) as refused:
            streams.open("phone", "table")
        await opened[0].aclose()
        await first(streams.open("phone", "table").body_iterator)
        await first(streams.open("other", "table").body_iterator)
        return refused.value.status

    assert STREAMS_A_DEVICE == 2
    # 429, Too Many Requests: RFC 6585, section 4.
    assert asyncio.run(listen()) == 429


def test_stops_listening_when_the_stream_ends() -> None:
    async def listen() -> dict[str, object]:
        notifier = ThreadNotifier()
        parts = Streams(notifier).open("phone", "table").body_iterator
        await first(parts)
        await parts.aclose()
        return dict(notifier._listeners)

    assert asyncio.run(listen()) == {}
