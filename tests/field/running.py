"""A server of a ledger, in a thread of the test's process, on a port of its own."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from concurrent.futures import Future
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path
from threading import Thread
from typing import Any

import httpx

from ledger.field.desk import Desk, Setting
from ledger.field.doors import Door, listen
from ledger.field.guard import Place
from ledger.field.serving import HOST, Server

_names = count(1)


@dataclass
class Served:
    """A running server. `desk` belongs to its thread; `codes` is what the terminal was told."""

    url: str
    desk: Desk
    codes: list[str]
    loop: asyncio.AbstractEventLoop
    clients: list[Browser] = field(default_factory=list)

    def browser(self, *officials: str) -> Browser:
        """A device on which these officials are signed in and confirmed."""
        made = Browser(self.url)
        self.clients.append(made)
        for official in officials:
            made.sign_in(official, self.codes)
        return made


class Browser:
    """A device: its cookie, its token, its acts counted."""

    def __init__(self, url: str) -> None:
        self.http = httpx.Client(base_url=url, headers={"Origin": url}, timeout=20)
        self.device = f"device{next(_names):04}"
        self._acts = count(1)
        self.token: str = self.get("/api/me")["token"]

    def get(self, path: str) -> Any:
        answer = self.http.get(path)
        assert answer.status_code == 200, answer.text
        return answer.json()

    def post(self, path: str, body: Any) -> httpx.Response:
        return self.http.post(path, json=body, headers={"X-Weighbook-Token": self.token})

    def sign_in(self, official: str, codes: list[str]) -> None:
        answer = self.post("/api/sign-in", {"official": official})
        assert answer.status_code in (200, 201), answer.text
        self.token = self.get("/api/me")["token"]
        answer = self.post("/api/confirm", {"official": official, "terminal": codes[-1]})
        assert answer.status_code == 200, answer.text

    def act(self, by: str, *entries: dict[str, str], game: str | None = "g1") -> dict[str, Any]:
        """A new act of these entries, with refs."""
        name = f"{self.device}-{next(self._acts)}"
        own = [
            {"at": "2026-09-05T13:41:20.000Z", "ref": f"{name}.{n}"} | entry
            for n, entry in enumerate(entries, 1)
        ]
        return {"act": name, "game": game, "by": by, "entries": own}

    def state(self, by: str, *entries: dict[str, str], game: str | None = "g1") -> list[str]:
        """Record a new act; its event ids."""
        answer = self.post("/api/acts", self.act(by, *entries, game=game))
        assert answer.status_code == 201, answer.text
        found: list[str] = answer.json()["events"]
        return found

    def entries(self, game: str = "g1") -> list[dict[str, Any]]:
        """The game's statements as a page gets them."""
        found: list[dict[str, Any]] = self.get(f"/api/games/{game}")["entries"]
        return found


@contextmanager
def served(ledger: Path, *, origin: str = "") -> Iterator[Served]:
    """The ledger, served until the block ends; with `origin`, as behind a proxy."""
    with listen(HOST, 0) as listening:
        own = listening.getsockname()[1]
        place = Place.behind_proxy(origin) if origin else Place.on_loopback(own)
        with served_at(ledger, Door((listening,), place, (f"http://{HOST}:{own}",))) as made:
            yield made


@contextmanager
def served_at(ledger: Path, door: Door) -> Iterator[Served]:
    """The ledger, served at this door."""
    begun: Future[Served] = Future()
    ending: Future[None] = Future()

    def run() -> None:
        try:
            codes: list[str] = []
            desk = Desk(Setting(ledger, "office", door.place, codes.append))

            def began() -> None:
                loop = asyncio.get_running_loop()
                begun.set_result(Served(door.addresses[0], desk, codes, loop))

            server = Server(desk, began, certificate=door.certificate)
            ending.add_done_callback(lambda _: setattr(server, "should_exit", True))
            server.run(sockets=list(door.sockets))
        except BaseException as error:
            if not begun.done():
                begun.set_exception(error)
            raise

    thread = Thread(target=run)
    thread.start()
    try:
        made = begun.result(20)
        yield made
        for one in made.clients:
            one.http.close()
    finally:
        ending.set_result(None)
        thread.join(20)
    assert not thread.is_alive()
