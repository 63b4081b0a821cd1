"""Server-sent events: a page hears that a game has something new, and then asks for it.

One stream a device. A listener that is slow misses nothing: of each game only the latest is kept
for it. (The form is that of the HTML standard, section 9.2.)
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable, Iterable

import orjson

from ledger.field.games import News

HERE_SECONDS = 15.0
"""How often a stream says it is there. Proxies close a line that is silent for a minute."""
_HERE = b"event: here\ndata: {}\n\n"


class Feed:
    """Who listens. All of it belongs to the event loop's thread."""

    def __init__(self) -> None:
        self._listeners: set[_Listener] = set()
        self._is_over = False

    def publish(self, news: Iterable[News]) -> None:
        """Tell every listener."""
        for one in news:
            for listener in self._listeners:
                listener.tell(one)

    def end(self) -> None:
        """End every stream, and those to come."""
        self._is_over = True
        for listener in self._listeners:
            listener.wake.set()

    async def stream(self, may_listen: Callable[[], bool]) -> AsyncIterator[bytes]:
        """What one device gets, until it goes away, may not listen any more, or the server ends."""
        listener = _Listener()
        self._listeners.add(listener)
        try:
            yield b"retry: 2000\n\n" + _HERE
            while not self._is_over:
                try:
                    async with asyncio.timeout(HERE_SECONDS):
                        await listener.wake.wait()
                except TimeoutError:
                    yield _HERE
                if not may_listen():
                    break
                for one in listener.take():
                    yield b"event: news\ndata: " + orjson.dumps(one) + b"\n\n"
        finally:
            self._listeners.discard(listener)


class _Listener:
    def __init__(self) -> None:
        self.wake = asyncio.Event()
        self._news: dict[str, News] = {}

    def tell(self, news: News) -> None:
        self._news[news.game] = news
        self.wake.set()

    def take(self) -> list[News]:
        found, self._news = list(self._news.values()), {}
        self.wake.clear()
        return found
