"""What all routes share: the ledger's writer, the games in memory, the news, who is signed in.

`ask` runs on the games' own thread, `read` on any thread with a connection of its own, and
`writer` on the thread that writes. No connection is kept open for an answer, so that no read
transaction outlives one.
"""

from __future__ import annotations

import asyncio
import logging
import time
from collections.abc import AsyncIterator, Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Concatenate, ParamSpec, TypeVar

from anyio import CapacityLimiter, to_thread
from starlette.requests import HTTPConnection

from ledger.actions.phones import Phones
from ledger.actions.practicing import Practice
from ledger.field.devices import Devices
from ledger.field.feed import Feed
from ledger.field.games import Games
from ledger.field.guard import Place
from ledger.field.people import People
from ledger.field.roles import Roles
from ledger.field.writer import Writer
from ledger.say.practice import is_practice
from ledger.store.league import league_data, league_zone
from ledger.store.opening import open_store
from ledger.store.store import Store

Given = TypeVar("Given")
Asked = ParamSpec("Asked")
LOOK_SECONDS = 0.25
"""How often to look for what other programs recorded."""
READERS = 4
"""How many answers to derive at once: each takes a processor and about 100 MB."""
_LOG = logging.getLogger("weighbook")


@dataclass(frozen=True)
class Setting:
    """How the server stands: its ledger, the chain it writes, where browsers find it.

    `tell` hears the code of the terminal whenever there is a new one. `practice`: the ledger is
    thrown away at the end, and anyone who opens the page is its weighmaster.
    """

    ledger: Path
    chain: str
    place: Place
    tell: Callable[[str], object]
    practice: Practice | None = None


class Desk:
    """Everything one server holds. For the event loop's thread; `open` begins and ends it."""

    def __init__(self, setting: Setting, *, now: Callable[[], float] = time.time) -> None:
        self.setting = setting
        self._roles = open_store(setting.ledger)
        self.zone = league_zone(self._roles)
        self.is_practice = is_practice(league_data(self._roles))
        self.people = People(setting.ledger, Roles(self._roles), tell=setting.tell, now=now)
        self.phones = Phones(setting.ledger, now)
        self.feed = Feed()
        self.devices = Devices()
        self.writer = Writer(setting.ledger, setting.chain, self._wrote)
        self._thread = ThreadPoolExecutor(1, thread_name_prefix="games")
        self._readers = CapacityLimiter(READERS)
        self._wake = asyncio.Event()
        self._loop: asyncio.AbstractEventLoop | None = None
        self._games: Games | None = None

    @asynccontextmanager
    async def open(self) -> AsyncIterator[None]:
        """Everything runs inside."""
        self._loop = asyncio.get_running_loop()
        self._games = await self._loop.run_in_executor(self._thread, self._open_games)
        self.writer.start()
        following = asyncio.create_task(self._follow())
        try:
            yield
        finally:
            following.cancel()
            self.feed.end()
            await asyncio.to_thread(self.writer.stop)
            await self._loop.run_in_executor(self._thread, self._games.close)
            self._thread.shutdown()
            self._roles.close()

    async def ask(
        self,
        question: Callable[Concatenate[Games, Asked], Given],
        *args: Asked.args,
        **kwargs: Asked.kwargs,
    ) -> Given:
        """What `question(games, …)` returns, with the games as the ledger is now."""
        assert self._loop is not None
        return await self._loop.run_in_executor(
            self._thread, lambda: question(self._current(), *args, **kwargs)
        )

    async def read(
        self,
        question: Callable[Concatenate[Store, Asked], Given],
        *args: Asked.args,
        **kwargs: Asked.kwargs,
    ) -> Given:
        """What `question(store, …)` returns. For answers that take longer, such as a list."""

        def asked() -> Given:
            store = open_store(self.setting.ledger)
            try:
                return question(store, *args, **kwargs)
            finally:
                store.close()

        return await to_thread.run_sync(asked, limiter=self._readers)

    def _open_games(self) -> Games:
        return Games(open_store(self.setting.ledger), self.setting.chain)

    def _current(self) -> Games:
        assert self._games is not None
        if news := self._games.follow():
            assert self._loop is not None
            self._loop.call_soon_threadsafe(self.feed.publish, news)
        return self._games

    def _wrote(self) -> None:
        assert self._loop is not None
        with suppress(RuntimeError):  # the loop is closed: nobody is left to be told
            self._loop.call_soon_threadsafe(self._wake.set)

    async def _follow(self) -> None:
        """Look at the ledger's tail after each of our commits, and every LOOK_SECONDS."""
        fault = ""
        while True:
            with suppress(TimeoutError):
                async with asyncio.timeout(LOOK_SECONDS):
                    await self._wake.wait()
            self._wake.clear()
            try:
                await self.ask(_as_it_is)
                fault = ""
            except Exception as error:
                if fault != (fault := type(error).__name__):
                    _LOG.error("cannot follow the ledger: %s", fault)


def _as_it_is(games: Games) -> None:
    """`Desk.ask` has followed the ledger before this."""


def desk_of(connection: HTTPConnection) -> Desk:
    """The desk of the server that got this request."""
    desk: Desk = connection.app.state.desk
    return desk
