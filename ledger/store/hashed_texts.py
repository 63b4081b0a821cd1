"""Texts in the hashed bytes of an event, which nothing can erase: found by walking all of it.

Walked, not listed by key: a text of a kind that is new here is looked at too.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from functools import cache
from typing import Any, Literal, NamedTuple, get_args, get_origin

from ledger.chain.event import TIME_TEXT, Event
from ledger.record.fields import ROLES
from ledger.record.league import Rules
from ledger.record.statements import KINDS

_TOP = ("chain", "by", "game", "team", "player")
_OFFICIAL = "official"
_CALLED = {
    "by": _OFFICIAL,
    "value": _OFFICIAL,  # other texts in `value` are words of the tool, or hashes
    "home": "team",
    "visitor": "team",
    "file": "day file",
    "origin": "chain's origin",
    **{key: f"card's {key}" for key in ("gear", "shoes", "stripe", "distance")},
}
"""Where the key is not the word for it."""
_NOT_TYPED = ("digests", "time_zone", "signature", "proof")
_OWN_WORDS = ("key", "ink", "device", "book", "scale", "late_scale", "declared", "ruling",
              "undecided", "noncarrier_not_listed", "carrier_undecided", "unaccounted",
              "listed_over_weighed_ok", "not_struck_off", "injured_but_weighed",
              "noncarrier_not_striped", "carrier_striped")  # fmt: skip
"""What a countersignature says of itself, of the rows that it shows, and of what was open."""
_HASH = re.compile(r"[0-9a-f]{32,}")
_KEY = re.compile(r".+\+[0-9a-f]{8}\+[A-Za-z0-9+/]{43,}={0,2}", re.DOTALL)
"""A public key: what names it (an official, a chain) stands in the event by itself too."""


class Fixed(NamedTuple):
    """A text that stays: what it is, the text, the first event that has it."""

    what: str
    text: str
    event_id: str


def fixed_texts(events: Iterable[Event]) -> list[Fixed]:
    """Every text of these events that stays for good, each once."""
    first: dict[tuple[str, str], str] = {}
    chains: set[str] = set()
    for event in events:
        chains.add(event.chain)
        for what, text in _texts(event):
            first.setdefault((what, text), event.id)
    return [
        Fixed(what, text, at)
        for (what, text), at in first.items()
        if not _is_event_id(text, chains)
    ]


def _texts(event: Event) -> Iterator[tuple[str, str]]:
    for key in _TOP:
        if text := getattr(event, key):
            yield _called(key), str(text)
    for key, value in event.data.items():
        if key not in _NOT_TYPED:
            called = f"{event.kind}'s name" if key == "name" else _called(key)
            yield from _within(called, value)


def _within(called: str, value: Any) -> Iterator[tuple[str, str]]:
    if isinstance(value, str):
        if not _is_of_the_tool(value):
            yield called, value
    elif isinstance(value, list):
        for one in value:
            yield from _within(called, one)
    elif isinstance(value, dict):
        for key, one in value.items():
            yield from _within(_called(key), one)


def _called(key: str) -> str:
    return _CALLED.get(key, key.replace("_", " "))


def _is_of_the_tool(text: str) -> bool:
    """Whether nobody typed it: a hash, a key, a time, a word of a fixed vocabulary."""
    forms = (_HASH, _KEY, TIME_TEXT)
    return text in _vocabulary() or any(form.fullmatch(text) for form in forms)


def _is_event_id(text: str, chains: Collection[str]) -> bool:
    chain, _, seq = text.rpartition(":")
    return chain in chains and seq.isdecimal()


@cache
def _vocabulary() -> frozenset[str]:
    """The words among which the kinds and the league's rules let people choose."""
    tables = [field.annotation for field in Rules.model_fields.values()]
    models = [*KINDS.values(), *(table for table in tables if isinstance(table, type))]
    words = {
        word
        for model in models
        for field in getattr(model, "model_fields", {}).values()
        for part in (field.annotation, *get_args(field.annotation))
        if get_origin(part) is Literal
        for word in get_args(part)
    }
    return frozenset({*ROLES, *_OWN_WORDS, *(word for word in words if isinstance(word, str))})
