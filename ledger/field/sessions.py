"""The devices that people are signed in on, kept in a file beside the ledger.

A killed server forgets nobody. The file has hashes of cookies, never a cookie, and only its owner
may read it. A cookie without a session here is a device on which nobody is signed in: it costs no
memory. Each change is on the disk before it is answered.
"""

from __future__ import annotations

import hmac
import re
import secrets
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from hashlib import sha256
from pathlib import Path
from typing import Literal

from pydantic import TypeAdapter, ValidationError

from ledger.errors import ReportError, StoreError
from ledger.outputs import Kind, write_output

HOURS = 12
MOST_DEVICES = 1000
MOST_PEOPLE = 12
COOKIE = re.compile(r"[A-Za-z0-9_-]{43}")
_FILE = Kind("a file of sessions", re.compile(rb'\{"sessions"'))

How = Literal["key", "phone", "code", "terminal", "to confirm"]


@dataclass(frozen=True)
class New:
    """What somebody new asks for: a role of one team in one game. `name` is as they typed it."""

    name: str
    game: str
    team: str
    to: Literal["weighmaster", "play_counter"]


@dataclass(frozen=True)
class SignedIn:
    """A person on a device. `key` is the line of the key that was opened, or that the device holds
    itself ("phone"); `by` who confirmed.

    `code` is what to tell the one who confirms, "" once that is done; so is `new`, None for
    somebody who only signs in.
    """

    official: str
    how: How
    since: float
    until: float
    key: str = ""
    by: str = ""
    code: str = field(default="", repr=False)
    new: New | None = field(default=None, repr=False)

    @property
    def is_confirmed(self) -> bool:
        return self.how != "to confirm"


@dataclass(frozen=True)
class Session:
    """A device on which somebody is signed in. `name` is public, to revoke it by."""

    name: str
    cookie_hash: str
    people: tuple[SignedIn, ...]

    @classmethod
    def new(cls, cookie: str) -> Session:
        return cls(secrets.token_urlsafe(9), hash_of(cookie), ())

    def of(self, official: str) -> SignedIn | None:
        return next((one for one in self.people if one.official == official), None)

    def with_person(self, person: SignedIn) -> Session:
        """The same device with this person, in place of the same person before.

        Where there are too many, who only waits gives way first, then who came first.
        """
        others = [one for one in self.people if one.official != person.official]
        while len(others) >= MOST_PEOPLE:
            others.remove(next((one for one in others if not one.is_confirmed), others[0]))
        return replace(self, people=(*others, person))


@dataclass
class _Held:
    sessions: list[Session]
    secret: str = field(default_factory=lambda: secrets.token_hex(32), repr=False)


_HELD = TypeAdapter(_Held)


class Sessions:
    """Every device with somebody signed in, by the hash of its cookie."""

    def __init__(self, path: Path, now: Callable[[], float]) -> None:
        self._path, self._now = path, now
        held = _read(path)
        self._secret = held.secret
        self._by_hash = {one.cookie_hash: one for one in held.sessions}

    def __iter__(self) -> Iterator[Session]:
        return iter(tuple(self._by_hash.values()))

    def of(self, cookie: str) -> Session | None:
        return self._by_hash.get(hash_of(cookie))

    def token(self, cookie: str) -> str:
        """What a page sends back with each POST, to show that it can read what we answer."""
        return hmac.new(self._secret.encode(), cookie.encode(), sha256).hexdigest()

    def keep(self, *changed: Session) -> None:
        """Keep these sessions as they are now; those where nobody is signed in are forgotten."""
        now = self._now()
        for session in changed:
            self._by_hash.pop(session.cookie_hash, None)
            self._by_hash[session.cookie_hash] = session
        for session in self:
            if not any(one.until > now for one in session.people):
                del self._by_hash[session.cookie_hash]
        while len(self._by_hash) > MOST_DEVICES:
            del self._by_hash[self._least_needed()]
        held = _Held(list(self._by_hash.values()), self._secret)
        try:
            write_output(_HELD.dump_json(held), self._path, _FILE)
        except ReportError as error:
            raise StoreError(error.message, hint=error.hint) from error

    def _least_needed(self) -> str:
        """The oldest device where nobody is confirmed, else the oldest."""
        waiting = (
            one.cookie_hash
            for one in self._by_hash.values()
            if not any(person.is_confirmed for person in one.people)
        )
        return next(waiting, next(iter(self._by_hash)))


def new_cookie() -> str:
    return secrets.token_urlsafe(32)


def hash_of(cookie: str) -> str:
    return sha256(cookie.encode()).hexdigest()


def _read(path: Path) -> _Held:
    try:
        content = path.read_bytes()
    except FileNotFoundError:
        return _Held([])
    except OSError as error:
        raise StoreError(f"{path} cannot be read: {error.strerror}") from error
    try:
        return _HELD.validate_json(content) if content else _Held([])
    except ValidationError:
        hint = "Move it away. Everyone signs in again."
        raise StoreError(f"{path} is not a file of sessions", hint=hint) from None
