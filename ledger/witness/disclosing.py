"""The personal text in a proof: none unless someone chooses it.

    name       names of the children in the statements
    official   names of the officials who made them
    note       remarks
    reason     free-text reasons (a scale out of use, a withdrawal, a game moved or off)

A name belongs to the event that brought it in, so the proof has that event too. It also has the
withdrawals of its statements: to leave one out would mislead.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from ledger.chain.event import Event
from ledger.errors import InputError
from ledger.record.kinds import BRINGS_IN
from ledger.store.store import Store
from ledger.store.withdrawals import with_withdrawals

WORDS = ("name", "official", "note", "reason")


@dataclass(frozen=True)
class Choice:
    """The events to prove, and the personal text to show: (event id, field)."""

    ids: frozenset[str]
    disclose: frozenset[tuple[str, str]]


def parse_words(text: str, known: Collection[str] = WORDS) -> frozenset[str]:
    """Read a list of words such as "name,note"; InputError for an unknown word."""
    words = frozenset(text.replace(",", " ").split())
    if unknown := sorted(words - {*known}):
        hint = f"You can disclose: {', '.join(known)}."
        raise InputError(f"unknown word in --disclose: {unknown[0]}", hint=hint)
    return words


def choose(store: Store, events: Iterable[Event], words: Collection[str]) -> Choice:
    """Choose these events, their withdrawals, and the events that have the names to show."""
    chosen = with_withdrawals(store, events)
    players = sorted({event.player for event in chosen if event.player})
    officials = sorted({event.by for event in chosen if event.by})
    if "name" in words:
        chosen += (s.event for s in store.events(kind=BRINGS_IN["player"], player=players))
    if "official" in words:
        chosen += (s.event for s in store.events(kind=BRINGS_IN["official"], subject=officials))
    return Choice(
        ids=frozenset(event.id for event in chosen),
        disclose=frozenset(
            (event.id, field)
            for event in chosen
            for field in event.data.get("digests", {})
            if word_of(event, field) in words
        ),
    )


def word_of(event: Event, field: str) -> str:
    """Return the word that stands for this field of this event."""
    return "official" if field == "name" and event.kind in BRINGS_IN["official"] else field
