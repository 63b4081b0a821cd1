"""The server's sockets, its logs and its end. Plain HTTP is for this computer alone.

A league's server has a proxy of its own on the same computer, with a certificate: then browsers
know the page by the proxy's origin, and who asks is told by its `X-Forwarded-For`. In a hotspot the
server has a certificate of its own (`ledger.field.hotspot`).
"""

from __future__ import annotations

import logging
import signal
import socket
import threading
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from urllib.parse import urlsplit

import uvicorn

from ledger.actions.practicing import Practice
from ledger.errors import InputError, StoreError
from ledger.field.app import make_app
from ledger.field.desk import Desk, Setting
from ledger.field.doors import Door, listen
from ledger.field.guard import Place
from ledger.field.hotspot.door import hotspot_door
from ledger.record.fields import ID_FORM, is_id
from ledger.store.opening import open_store

HOST = "127.0.0.1"
_LOOPBACK = (HOST, "localhost", "::1")
IDLE_SECONDS = 75
"""How long an unused connection stays: longer than proxies keep theirs, or some taps fail."""
GRACE_SECONDS = 2
"""How long answers may take to end when the server stops."""


def serve(
    ledger: Path,
    *,
    host: str | None,
    port: int,
    chain: str,
    origin: str | None,
    in_hotspot: bool = False,
    practice: Practice | None = None,
    began: Callable[[str], object],
    tell: Callable[[str], object],
    say: Callable[[str], object],
) -> None:
    """Serve the ledger until someone stops it.

    Without `host` on this computer alone, or in a hotspot at all its private addresses. `began`
    hears the page's address once browsers can connect, `tell` each code of the terminal, and `say`
    a line if the ledger is upgraded.
    """
    check_chain(chain)
    if origin is not None:
        origin = check_origin(origin)
    if not in_hotspot:
        check_host(host or HOST)
    make_ready(ledger, say)
    with ExitStack() as stack:
        if in_hotspot:
            door = stack.enter_context(hotspot_door(ledger, host, port))
        else:
            door = stack.enter_context(_plain_door(host or HOST, port, origin))
        place = door.place if practice is None else door.place.for_practice(practice.name)
        desk = Desk(Setting(ledger, chain, place, tell, practice))
        address = " or ".join(door.addresses)
        server = Server(desk, lambda: began(address), certificate=door.certificate)
        with suppress(KeyboardInterrupt):
            server.run(sockets=list(door.sockets))
        if not server.started:
            raise StoreError("the page could not be started", hint="The line above says why.")


@contextmanager
def _plain_door(host: str, port: int, origin: str | None) -> Iterator[Door]:
    with listen(host, port) as listening:
        port = listening.getsockname()[1]
        place = Place.behind_proxy(origin) if origin else Place.on_loopback(port)
        shown = f"[{host}]" if ":" in host else host
        yield Door((listening,), place, (origin or f"http://{shown}:{port}",))


def make_ready(ledger: Path, say: Callable[[str], object]) -> None:
    """Upgrade a ledger of an older form; StoreError if it cannot be written.

    Before anything else has it open: connections that read it as the older form would go on so.
    """
    store = open_store(ledger, tell=say)
    try:
        with store.writing():
            pass
    finally:
        store.close()


def check_chain(chain: str) -> None:
    """InputError unless a chain can have this name."""
    if not is_id(chain):
        raise InputError(f"--chain: found '{chain}'", hint=f"Enter {ID_FORM}.")


def check_host(host: str) -> None:
    """InputError for any host but this computer: others could read children's names."""
    if host not in _LOOPBACK:
        raise InputError(
            f"--host {host}: weighbook serves plain HTTP on this computer only",
            hint="Others could read along. Phones need a certificate: your proxy's (--behind-proxy "
            "https://ADDRESS), or the league's own (--hotspot).",
        )


def check_origin(text: str) -> str:
    """The origin as browsers write it; InputError for anything but an https address."""
    hint = "Enter the address people type, such as https://weigh-in.example.org."
    try:
        parts = urlsplit(text)
        port = parts.port
    except ValueError:
        raise InputError(f"--behind-proxy: found '{text}'", hint=hint) from None
    is_bare = parts.path in ("", "/") and not (parts.query or parts.fragment or "@" in parts.netloc)
    if parts.scheme != "https" or not parts.hostname or not is_bare:
        raise InputError(f"--behind-proxy: found '{text}'", hint=hint)
    return f"https://{parts.hostname}" + (f":{port}" if port not in (None, 443) else "")


class Server(uvicorn.Server):
    """Calls `began` when browsers can connect, and ends the streams of news when it is to end."""

    def __init__(
        self, desk: Desk, began: Callable[[], object], *, certificate: Path | None = None
    ) -> None:
        super().__init__(
            uvicorn.Config(
                make_app(desk),
                access_log=False,
                log_config=None,
                server_header=False,
                proxy_headers=False,  # `guard.address_of` reads them
                timeout_graceful_shutdown=GRACE_SECONDS,
                timeout_keep_alive=IDLE_SECONDS,
                lifespan="on",
                ws="none",
                ssl_certfile=certificate,
            )
        )
        self._desk, self._began = desk, began

    async def serve(self, sockets: list[socket.socket] | None = None) -> None:
        _log_quietly()
        if threading.current_thread() is threading.main_thread() and hasattr(signal, "SIGHUP"):
            signal.signal(signal.SIGHUP, self.handle_exit)  # the terminal's window closes
        await super().serve(sockets)

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        if self.started:
            self._began()

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        self._desk.feed.end()
        await super().shutdown(sockets)


class _OneLine(logging.Formatter):
    """The message alone: a traceback may hold a name."""

    def format(self, record: logging.LogRecord) -> str:
        return f"weighbook serve: {record.getMessage()}"


def _log_quietly() -> None:
    handler = logging.StreamHandler()
    handler.setFormatter(_OneLine())
    for name in ("weighbook", "uvicorn.error"):
        logger = logging.getLogger(name)
        logger.handlers, logger.propagate = [handler], False
        logger.setLevel(logging.ERROR)
