"""Where a server can be reached: its sockets, its place for browsers, and its certificate."""

from __future__ import annotations

import errno
import os
import socket
from dataclasses import dataclass
from pathlib import Path

from ledger.errors import StoreError
from ledger.field.guard import Place


@dataclass(frozen=True)
class Door:
    """`addresses` are told to people; `certificate` is a file, None for plain HTTP."""

    sockets: tuple[socket.socket, ...]
    place: Place
    addresses: tuple[str, ...]
    certificate: Path | None = None


def listen(host: str, port: int) -> socket.socket:
    """A socket that listens there; StoreError if the port is taken."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    # asyncio turns Nagle's delay off (40 ms an answer) only if the protocol is named.
    listening = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        if os.name != "nt":  # where it would let two programs have one port
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((host, port))
        listening.listen(128)
    except OSError as error:
        listening.close()
        if error.errno == errno.EADDRNOTAVAIL:
            hint = "Enter one that it has now, or leave out --host."
            raise StoreError(f"{host} is not an address of this computer", hint=hint) from error
        hint = f"Is weighbook serve running already? Or choose another: --port {port % 65535 + 1}."
        raise StoreError(f"port {port} cannot be used: {error.strerror}", hint=hint) from error
    return listening
