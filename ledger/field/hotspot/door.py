"""HTTPS on this computer's own private addresses, for phones that trust the league's authority."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

from ledger.errors import InputError
from ledger.field.doors import Door, listen
from ledger.field.guard import Place
from ledger.field.hotspot.addresses import own_addresses, own_name
from ledger.field.hotspot.certificates import is_private, name_of, utc_now
from ledger.field.hotspot.files import keep_leaf, read_authority

LOOPBACK = "127.0.0.1"


@contextmanager
def hotspot_door(ledger: Path, host: str | None, port: int) -> Iterator[Door]:
    """A socket at each private address, or at `host`, and a leaf that vouches for them.

    On loopback the page has the authority's name alone: for a first look without a hotspot.
    """
    authority = read_authority(ledger, utc_now())
    places = _places(host)
    addresses = [place for place in places if place != LOOPBACK]
    leaf = keep_leaf(ledger, authority, addresses, utc_now())
    name = name_of(authority.certificate)
    with ExitStack() as stack:
        sockets = []
        for place in places:
            sockets.append(stack.enter_context(listen(place, port)))
            port = sockets[0].getsockname()[1]  # 0 is any that is free, and then one for all
        # 443 is not written in an address, nor in what a browser calls the origin.
        shown = "" if port == 443 else f":{port}"
        origins = {one: f"https://{one}{shown}" for one in (*addresses, name)}
        # Another computer than the one that made the authority does not answer to its name.
        told = [origins[one] for one in (*addresses, name) if one != name or name == own_name()]
        place_ = Place.in_hotspot(origins.values())
        yield Door(tuple(sockets), place_, tuple(told), leaf)


def _places(host: str | None) -> list[str]:
    if host is None:
        if found := own_addresses():
            return found
        raise InputError(
            "this computer has no private address",
            hint="Join the hotspot first, then start again. Or name the address: --host ADDRESS.",
        )
    if host == LOOPBACK or is_private(host):
        return [host]
    raise InputError(
        f"--host {host}: the league's certificate vouches for private addresses only",
        hint="Enter an address of this computer in the hotspot, such as 192.168.43.7.",
    )
