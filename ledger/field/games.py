"""What pages read: each open game's statements in the order they came, and its head.

Nothing here derives a season. A game that a page asks for stays in memory and is carried on by
reading what is new in every chain, whoever wrote it. Its head is made anew only when something came
in that may change it; the `edition` is of what it says. All of it belongs to one thread.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from secrets import token_hex
from typing import Any

import orjson

from ledger.actions.game_head import read_head
from ledger.actions.schedule import Scheduled, schedule
from ledger.chain.event import Event
from ledger.errors import InputError
from ledger.field.entries import Entry, entries_of
from ledger.record.kinds import OWN, ROSTER, SETUP
from ledger.record.times import now_utc
from ledger.record.withdrawals import withdrawn
from ledger.store.league import league_zone
from ledger.store.store import Store, Stored
from ledger.store.withdrawals import withdrawals_of

MOST_BEHIND = 5_000
"""Beyond this many new events, reading everything again is quicker."""
_FORGETS = ("erasure", "redaction")


@dataclass
class Book:
    """One open game. `head` is its JSON, empty when it must be made again."""

    game: str
    sides: tuple[str, str] = ("", "")
    players: frozenset[str] = frozenset()
    edition: str = ""
    said: dict[str, Any] = field(default_factory=dict)
    head: bytes = b""
    entries: list[Entry] = field(default_factory=list)

    @property
    def position(self) -> int:
        return len(self.entries)

    def closed(self) -> list[str]:
        """The teams whose weigh-in is closed."""
        taken = [(one.event, one.target or "") for one in self.entries if one.kind == "withdraw"]
        gone = withdrawn(taken)
        closes = [one for one in self.entries if one.kind == "close" and one.event not in gone]
        return sorted({one.team or "" for one in closes})


@dataclass(frozen=True)
class News:
    """A game that has something new."""

    game: str
    position: int
    edition: str


class Games:
    """The open games of a ledger, as far as it was read; refs are of `chain`."""

    def __init__(self, store: Store, chain: str) -> None:
        self.store, self._chain = store, chain
        self.zone = league_zone(store)
        self._lengths = dict(store.lengths())
        self._is_whole = True
        self._begin()

    def _begin(self) -> None:
        self._run = token_hex(4)
        self._books: dict[str, Book] = {}
        self._forget_tables()

    def _forget_tables(self) -> None:
        self._schedule: dict[str, Scheduled] | None = None
        for book in self._books.values():
            book.head = b""

    @property
    def schedule(self) -> dict[str, Scheduled]:
        """Every game, by id."""
        if self._schedule is None:
            self._schedule = schedule(self.store)
        return self._schedule

    def author(self, target: str) -> str | None:
        """Who stated what a withdrawal names, an event's id or a ref; None if it is not there."""
        if ":" not in target:
            found = self.store.events(ref=[target], chain=[self._chain])
            return next((stored.event.by for stored in found), None)
        try:
            return self.store.event(target).by
        except InputError:
            return None

    def close(self) -> None:
        self.store.close()

    def head(self, game: str) -> dict[str, Any]:
        """The game's head."""
        book = self.open(game)
        self._make_head(book)
        return book.said

    def open(self, game: str) -> Book:
        """The game's book; InputError for an unknown game."""
        if game not in self._books:
            if game not in self.schedule:
                raise InputError(f"no game {game} in this ledger")
            read = list(self.store.events(game=[game]))
            read += withdrawals_of(self.store, [one.id for one in read if one.event.at])
            stated = [
                stored.event
                for stored in sorted(filter(self._is_read, read))
                if stored.event.kind not in SETUP + OWN
            ]
            book = self._books[game] = Book(game, self.schedule[game].sides)
            self._append(book, stated)
        return self._books[game]

    def answer(self, game: str, *, after: int, edition: str) -> bytes:
        """What a page gets of a game: JSON of the head, unless it has it, and new entries."""
        book = self.open(game)
        self._make_head(book)
        if edition.partition("-")[0] != self._run or not 0 <= after <= book.position:
            after = 0
        head = b"null" if edition == book.edition else book.head
        new = book.entries[after:]
        entries = b",".join(one.text for one in new)
        plain = {"game": game, "edition": book.edition, "position": book.position,
                 "after": after, "now": now_utc()}  # fmt: skip
        return b"".join(
            (orjson.dumps(plain)[:-1], b',"head":', head, b',"entries":[', entries, b"]}")
        )

    def follow(self) -> list[News]:
        """Take in what is new in the ledger, and say which open games it is about."""
        lengths = dict(self.store.lengths())
        if lengths == self._lengths and self._is_whole:
            return []
        before = {book.game: (book.position, book.edition) for book in self._books.values()}
        was, self._lengths = self._lengths, lengths
        is_whole, self._is_whole = self._is_whole, False  # until all of it is taken in
        behind = sum(lengths.values()) - sum(was.values())
        if not is_whole or behind > MOST_BEHIND or not self._take(was):
            self._begin()
            for game in before:
                self.open(game)
        for book in self._books.values():
            self._make_head(book)
        self._is_whole = True
        return [
            News(book.game, book.position, book.edition)
            for book in self._books.values()
            if before.get(book.game) != (book.position, book.edition)
        ]

    def _take(self, was: Mapping[str, int]) -> bool:
        """Carry the open games on; False if a text was erased, so that all must be read again."""
        events: list[Event] = []
        for chain, length in self._lengths.items():
            if length > was.get(chain, 0):
                after = self.store.events_after(chain, was.get(chain, 0))
                events += [stored.event for stored in after if self._is_read(stored)]
        if any(event.kind in _FORGETS for event in events):
            return False
        of: dict[str, list[Event]] = {}
        for event in events:
            base = self._base_of(event)
            self._outdate(base)
            if base.game in self._books and event.kind not in SETUP + OWN:
                of.setdefault(base.game, []).append(event)
        for game, new in of.items():
            self._append(self._books[game], new)
        return True

    def _is_read(self, stored: Stored) -> bool:
        """Whether it was there at the latest `follow`; the next one brings what is newer."""
        return stored.seq <= self._lengths.get(stored.chain, 0)

    def _append(self, book: Book, events: Iterable[Event]) -> None:
        book.entries += entries_of(self.store, events)

    def _base_of(self, event: Event) -> Event:
        """The event itself, or what its withdrawal takes back or restores."""
        while event.kind == "withdraw":
            event = self.store.event(event.data["target"])
        return event

    def _outdate(self, event: Event) -> None:
        """Mark the heads that this statement, or a withdrawal of it, may change."""
        kind = event.kind
        if kind in SETUP or kind == "game_change":
            self._forget_tables()
        elif kind == "game_off":
            self._schedule = None
            self._outdate_books(book for book in self._all() if book.game == event.game)
        elif kind in ROSTER:
            self._outdate_books(book for book in self._all() if event.team in book.sides)
        elif kind == "appoint":
            self._outdate_books(book for book in self._all() if event.game in (None, book.game))
        elif kind == "assign":
            self._outdate_books(book for book in self._all() if event.game == book.game)
        elif kind == "initial":
            self._outdate_books(
                book
                for book in self._all()
                if book.game != event.game and event.player in book.players
            )

    def _all(self) -> list[Book]:
        return list(self._books.values())

    def _outdate_books(self, books: Iterable[Book]) -> None:
        for book in books:
            book.head = b""

    def _make_head(self, book: Book) -> None:
        if book.head:
            return
        book.said = read_head(self.store, self.schedule[book.game])
        players = [one for team in book.said["teams"] for one in team["players"]]
        book.players = frozenset(one["player"] for one in players)
        book.head = orjson.dumps(book.said)
        book.edition = f"{self._run}-{sha256(book.head).hexdigest()[:12]}"
