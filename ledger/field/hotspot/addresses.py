"""What this computer is called in a hotspot, and which private addresses it has there."""

from __future__ import annotations

import re
import socket
import struct
from collections.abc import Iterator
from contextlib import closing, suppress
from ipaddress import IPv4Address

from ledger.field.hotspot.certificates import PRIVATE, is_private

DOMAIN = "local"
"""Phones ask a `.local` name of the computer that bears it (RFC 6762, section 3), so it needs no
network's name server, and it stays when the address changes: what waits on a phone belongs to the
page's address. Rejected: .internal, which only a name server of one's own can answer."""
_GET_ADDRESS = 0x8915  # SIOCGIFADDR of Linux, netdevice(7)


def own_name() -> str:
    """The computer's own name under `.local`, as it answers to it itself."""
    label = re.sub(r"[^a-z0-9-]", "-", socket.gethostname().partition(".")[0].lower())
    label = label[:63].strip("-")
    return f"{'weighbook' if label in ('', 'localhost') else label}.{DOMAIN}"


def own_addresses() -> list[str]:
    """The private IPv4 addresses of this computer, in order."""
    found = {*_by_name(), *_by_route(), *_by_interface()}
    return sorted(filter(is_private, found), key=IPv4Address)


def _by_name() -> Iterator[str]:
    """Windows and macOS list theirs under the computer's name."""
    with suppress(OSError):
        for found in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET):
            yield str(found[4][0])


def _by_route() -> Iterator[str]:
    """The address from which a private one would be asked. Nothing is sent."""
    for network in PRIVATE:
        with suppress(OSError), closing(socket.socket(socket.AF_INET, socket.SOCK_DGRAM)) as asking:
            asking.connect((str(network.broadcast_address - 1), 9))
            yield str(asking.getsockname()[0])


def _by_interface() -> Iterator[str]:
    """Linux tells the address of each interface: where the laptop is the hotspot, no route does."""
    try:
        import fcntl
    except ImportError:
        return
    with closing(socket.socket(socket.AF_INET, socket.SOCK_DGRAM)) as asking:
        for _, name in socket.if_nameindex():
            with suppress(OSError):
                told = fcntl.ioctl(asking, _GET_ADDRESS, struct.pack("256s", name.encode()[:15]))
                yield socket.inet_ntoa(told[20:24])
