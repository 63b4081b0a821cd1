"""Which personal text goes along with a proof: nothing, unless somebody chose it.

    name       the names of the children in the statements
    official   the names of the officials who made them
    note       remarks
    reason     free-text reasons (a scale out of use, a withdrawal, a game moved or off)

A name lies with the event that brought it in, so those events are proved as well; and so are
withdrawals of what was asked for: a proof that kept quiet about one would mislead.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass

from ledger.chain.event import Event
from ledger.errors import InputError
from ledger.record.kinds import BRINGS_IN
from ledger.store.store import Store
from ledger.store.withdrawals import with_withdrawals

WORDS = ("name", "official", "note", "reason")


@dataclass(frozen=True)
class Choice:
    """What to prove, and which personal text of it to show: (event id, field)."""

    ids: frozenset[str]
    disclose: frozenset[tuple[str, str]]


def parse_words(text: str, known: Collection[str] = WORDS) -> frozenset[str]:
    """The words in a list such as "name,note"; InputError for others."""
    words = frozenset(text.replace(",", " ").split())
    if unknown := sorted(words - {*known}):
        hint = f"Known: {', '.join(known)}."
        raise InputError(f"nothing to disclose is called {unknown[0]}", hint=hint)
    return words


def choose(store: Store, events: Iterable[Event], words: Collection[str]) -> Choice:
    """These events and their withdrawals, those that bring in the names, and what to show."""
    asked = with_withdrawals(store, events)
    more: list[Event] = []
    if "name" in words:
        players = sorted({event.player for event in asked if event.player})
        more += _stored(store, kind=BRINGS_IN["player"], player=players)
    if "official" in words:
        officials = sorted({event.by for event in asked if event.by})
        more += _stored(store, kind=BRINGS_IN["official"], subject=officials)
    return Choice(
        ids=frozenset(event.id for event in (*asked, *more)),
        disclose=frozenset(
            (event.id, field)
            for event in (*asked, *more)
            for field in event.data.get("digests", {})
            if word_of(event, field) in words
        ),
    )


def word_of(event: Event, field: str) -> str:
    """The word that covers this field of this event."""
    return "official" if field == "name" and event.kind in BRINGS_IN["official"] else field


def _stored(store: Store, **where: Collection[str]) -> Iterator[Event]:
    for stored in store.events(**{column: list(values) for column, values in where.items()}):
        yield stored.event
