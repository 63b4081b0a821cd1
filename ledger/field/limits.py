"""How often somebody may try: a count of tries in a while, by name, in bounded memory.

A try counts from its beginning, so that many at once are no way around; a right one is forgiven.
"""

from __future__ import annotations

import math
import re
from collections import deque
from collections.abc import Callable, Hashable
from ipaddress import IPv6Address, ip_address

from ledger.field.answers import Refusal

MOST_NAMES = 4096


class Limit:
    """At most `most` tries in `seconds` for each name; `now` is a clock in seconds."""

    def __init__(self, most: int, seconds: float, now: Callable[[], float]) -> None:
        self._most, self._seconds, self._now = most, seconds, now
        self._tries: dict[Hashable, deque[float]] = {}

    def begin(self, name: Hashable) -> int:
        """Count a try, and return 0; or the whole seconds to wait, and count none."""
        now = self._now()
        # Taken out and put in again: the name not tried for longest is the first to be forgotten.
        tries = self._tries.pop(name, deque())
        while tries and tries[0] <= now - self._seconds:
            tries.popleft()
        self._tries[name] = tries
        if len(tries) >= self._most:
            return max(1, math.ceil(tries[0] + self._seconds - now))
        tries.append(now)
        if len(self._tries) > MOST_NAMES:
            del self._tries[next(iter(self._tries))]
        return 0

    def forgive(self, name: Hashable) -> None:
        """Take back the latest try: it was right."""
        if tries := self._tries.get(name):
            tries.pop()


class Guesses:
    """Tries of passphrases: by official and address, by each of these, and of all together."""

    def __init__(self, now: Callable[[], float], of_all: int | None = None) -> None:
        self._both, self._each = Limit(5, 300, now), Limit(30, 300, now)
        self._all = None if of_all is None else Limit(of_all, 300, now)

    def begin(self, official: str, address: str) -> Callable[[], None]:
        """Count a try, or raise the Refusal to wait; what it returns forgives the try."""
        network = network_of(address)
        limits: list[tuple[Limit, tuple[str, ...]]] = [
            (self._both, (official, network)),
            (self._each, ("from", network)),
            (self._each, ("of", official)),
        ]
        limits += [(self._all, ())] if self._all else []
        counted: list[tuple[Limit, tuple[str, ...]]] = []

        def forgive() -> None:
            for limit, name in counted:
                limit.forgive(name)

        for limit, name in limits:
            if wait := limit.begin(name):
                forgive()
                wait_out(wait)
            counted.append((limit, name))
        return forgive


def wait_out(seconds: int) -> None:
    if seconds:
        hint = f"Try again in {seconds} seconds."
        raise Refusal(429, "wait", "Too many tries.", hint=hint, seconds=seconds)


def network_of(address: str) -> str:
    """What counts as one address, without a port: of IPv6, the 64 bits that a household has.

    >>> network_of("2001:db8:1:2:3:4:5:6"), network_of("192.0.2.7:4711")
    ('2001:db8:1:2::', '192.0.2.7')
    """
    host = _PORT.sub(r"\1\2", address.strip())
    try:
        found = ip_address(host)
    except ValueError:
        return ""  # all of what is no address share one limit
    if isinstance(found, IPv6Address):
        return str(found.ipv4_mapped or IPv6Address(int(found) >> 64 << 64))
    return str(found)


_PORT = re.compile(r"(?:\A([0-9.]+)|\A\[([0-9a-fA-F:.]+)\])(?::[0-9]+)?\Z")
