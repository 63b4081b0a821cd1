"""The stream of news to one device, without a server."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator

from ledger.field.feed import Feed
from ledger.field.games import News


async def _next(stream: AsyncIterator[bytes]) -> bytes | None:
    async with asyncio.timeout(5):
        return await anext(stream, None)


def test_news_come_once_and_only_the_latest_of_a_game() -> None:
    async def heard() -> list[bytes | None]:
        feed = Feed()
        stream = feed.stream(lambda: True)
        first = await _next(stream)
        feed.publish([News("g1", 1, "a"), News("g1", 2, "b"), News("g2", 1, "c")])
        told = [first, await _next(stream), await _next(stream)]
        feed.end()
        return [*told, await _next(stream)]

    first, one, two, end = asyncio.run(heard())
    assert (first or b"").startswith(b"retry: ")
    assert one == b'event: news\ndata: {"game":"g1","position":2,"edition":"b"}\n\n'
    assert two == b'event: news\ndata: {"game":"g2","position":1,"edition":"c"}\n\n'
    assert end is None


def test_who_may_no_longer_listen_hears_nothing_more() -> None:
    async def heard() -> bytes | None:
        feed, allowed = Feed(), [True]
        stream = feed.stream(lambda: bool(allowed))
        await _next(stream)
        allowed.clear()
        feed.publish([News("g1", 1, "a")])
        return await _next(stream)

    assert asyncio.run(heard()) is None
