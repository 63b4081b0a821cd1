"""A desk's application called in this process, by people who are signed in on devices.

async with calling(ledger) as desk:
    device = await desk.device("wa")
    answer = await device.get("/api/day")
"""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

from httpx import ASGITransport, AsyncClient, Response

from ledger.field.app import make_app
from ledger.field.desk import Desk, Setting
from ledger.field.guard import Place

PORT = 8000
ORIGIN = f"http://127.0.0.1:{PORT}"


class Device:
    """A browser: its cookie and its token."""

    def __init__(self, client: AsyncClient) -> None:
        self._client = client

    async def get(self, path: str) -> Response:
        return await self._client.get(path)

    async def post(self, path: str, body: dict[str, Any]) -> Response:
        token = (await self.get("/api/me")).json()["token"]
        headers = {"Origin": ORIGIN, "X-Weighbook-Token": token}
        return await self._client.post(path, json=body, headers=headers)

    async def state(self, game: str, by: str, act: str, *entries: dict[str, str]) -> Response:
        """Post one act."""
        refs = [one | {"ref": f"{act}.{n}"} for n, one in enumerate(entries, 1)]
        return await self.post("/api/acts", {"act": act, "game": game, "by": by, "entries": refs})


class Caller:
    """Makes devices. `codes` are what the terminal was told."""

    def __init__(self, desk: Desk, codes: list[str]) -> None:
        self.desk, self.codes = desk, codes
        self._app = make_app(desk)

    async def device(self, *officials: str) -> Device:
        """A device on which these are signed in and confirmed, by the terminal's code."""
        transport = ASGITransport(self._app, client=("127.0.0.1", 50000))
        device = Device(AsyncClient(transport=transport, base_url=ORIGIN))
        for official in officials:
            answer = await device.post("/api/sign-in", {"official": official})
            assert answer.is_success, answer.text
            said = {"official": official, "terminal": self.codes[-1]}
            answer = await device.post("/api/confirm", said)
            assert answer.is_success, answer.text
        return device


@asynccontextmanager
async def calling(ledger: Path, chain: str = "office") -> AsyncIterator[Caller]:
    codes: list[str] = []
    desk = Desk(Setting(ledger, chain, Place.on_loopback(PORT), codes.append))
    async with desk.open():
        yield Caller(desk, codes)
