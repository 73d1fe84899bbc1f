"""Streams that say "look" when something at a table has changed which others need to see.

They carry nothing else: whoever hears it asks, by the door it always asks at, and is told what
it may know. So a stream can leak nothing, and losing one loses nothing.
"""

import asyncio
from collections import Counter
from collections.abc import AsyncIterator, Callable
from contextlib import suppress

from fastapi.responses import StreamingResponse

from crustbreak.core.errors import CrustbreakError
from crustbreak.ports.live_state import Notifier

LOOK = "event: look\ndata: {}\n\n"
STILL_HERE = ": still here\n\n"
# Proxies and phones let go of a line on which nothing comes.
SAY_SOMETHING_S = 15
# What rings within so short a time is one look.
GATHER_S = 0.15
STREAMS_A_DEVICE = 2


class TooManyStreams(CrustbreakError):
    """A device has as many streams as it may."""

    status = 429


class Streams:
    """The open streams of one app."""

    def __init__(self, notifier: Notifier) -> None:
        self._notifier = notifier
        self._open: Counter[str] = Counter()

    def open(self, device: str, table_id: str) -> StreamingResponse:
        """Open a stream for a device; TooManyStreams at the third."""
        if self._open[device] >= STREAMS_A_DEVICE:
            raise TooManyStreams(
                f"This device has {STREAMS_A_DEVICE} streams open.",
                hint="Close another window of this page.",
            )
        return StreamingResponse(self._looks(device, table_id), media_type="text/event-stream")

    async def _looks(self, device: str, table_id: str) -> AsyncIterator[str]:
        rung = asyncio.Event()
        end = self._notifier.listen(table_id, _calling(rung.set))
        self._open[device] += 1
        try:
            yield LOOK
            while True:
                yield await _next(rung)
                await asyncio.sleep(GATHER_S)
        finally:
            end()
            self._open[device] -= 1


def _calling(act: Callable[[], None]) -> Callable[[], None]:
    loop = asyncio.get_running_loop()

    def call() -> None:
        # The notifier calls in whatever thread has written; a loop that is closed wants no more.
        with suppress(RuntimeError):
            loop.call_soon_threadsafe(act)

    return call


async def _next(rung: asyncio.Event) -> str:
    try:
        await asyncio.wait_for(rung.wait(), SAY_SOMETHING_S)
    except TimeoutError:
        return STILL_HERE
    rung.clear()
    return LOOK
