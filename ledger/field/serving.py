"""The server's socket and its end. Plain HTTP is for this computer alone."""

from __future__ import annotations

import socket
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import uvicorn

from ledger.errors import InputError, StoreError
from ledger.field.app import make_app
from ledger.field.desk import Desk, Setting
from ledger.field.guard import Place
from ledger.store.opening import open_store

HOST = "127.0.0.1"
GRACE_SECONDS = 3


def serve(
    ledger: Path,
    *,
    port: int,
    chain: str,
    origin: str | None,
    began: Callable[[str], object],
    tell: Callable[[str], object],
) -> None:
    """Serve the ledger until someone stops it.

    `began` hears the page's address once browsers can connect, `tell` each code of the terminal.
    """
    open_store(ledger).close()  # its faults are told before the port is taken
    with _listen(port) as listening:
        port = listening.getsockname()[1]
        place = Place.behind_proxy(origin) if origin else Place.on_loopback(port)
        desk = Desk(Setting(ledger, chain, place, tell))
        config = uvicorn.Config(
            make_app(desk),
            access_log=False,
            log_config=None,
            server_header=False,
            proxy_headers=False,
            timeout_graceful_shutdown=GRACE_SECONDS,
            lifespan="on",
        )
        address = origin or f"http://{HOST}:{port}"
        with suppress(KeyboardInterrupt):
            _Server(config, desk, lambda: began(address)).run(sockets=[listening])


class _Server(uvicorn.Server):
    """Tells when it has begun, and ends the streams of news when it is to end."""

    def __init__(self, config: uvicorn.Config, desk: Desk, began: Callable[[], object]) -> None:
        super().__init__(config)
        self._desk, self._began = desk, began

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        if self.started:
            self._began()

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        self._desk.feed.end()
        await super().shutdown(sockets)


def _listen(port: int) -> socket.socket:
    try:
        return socket.create_server((HOST, port))
    except OSError as error:
        hint = "Is weighbook serve running already? Choose another: --port 8001."
        raise StoreError(f"port {port} cannot be used: {error.strerror}", hint=hint) from error
    except OverflowError:
        raise InputError(f"--port: found {port}", hint="Enter 0 to 65535.") from None
