"""Where else a child's name stands: looked for before it is erased, for a person to read.

Compared without case, accents, vowel signs and punctuation: the whole name, and each part of it of
three letters or more (in other scripts than Latin, two); from four letters on also inside a word.
So words that mean something else are found too, and nothing is erased for being found.

>>> holds("Quibblefen's mother asked.", sought(["Zelda Quibblefen"]))
True
>>> holds("Zoledziak's father came.", sought(["Tomasz Żołędziak"]))
True
>>> holds("Li wept.", sought(["Li Wu"]))
False
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from ledger.chain.disclosure import open_disclosure
from ledger.chain.event import Event
from ledger.record.kinds import BRINGS_IN
from ledger.store.hashed_texts import Fixed, fixed_texts
from ledger.store.store import Store

PART_LETTERS, OTHER_PART_LETTERS, INSIDE_LETTERS = 3, 2, 4
_PEOPLE = (*BRINGS_IN["player"], *BRINGS_IN["official"])
"""Kinds whose name is that of somebody on a list: named alike in part is no mention."""

_AS_TYPED = str.maketrans(
    {"ł": "l", "ø": "o", "đ": "d", "ð": "d", "ı": "i", "æ": "ae", "œ": "oe", "þ": "th"}
)
"""Letters that Unicode does not take apart, as people type them who lack the key."""

_MARKS = ("Mn", "Mc")


@dataclass(frozen=True)
class Mentions:
    """What holds the name or a part of it.

    `texts` are events with their fields; `namesakes` other players of the same whole name;
    `staying` what can never be erased (initials, a site, a case's id, …).
    """

    texts: tuple[tuple[Event, tuple[str, ...]], ...] = ()
    namesakes: tuple[str, ...] = ()
    staying: tuple[Fixed, ...] = ()


def names_in(store: Store, events: Iterable[Event]) -> tuple[str, ...]:
    """The names that these events disclose, each once; those that are erased are not there."""
    rows = store.disclosures([event.id for event in events])
    names = (open_disclosure(row.text).value for row in rows if row.field == "name")
    return tuple(dict.fromkeys(names))


def sought(names: Iterable[str]) -> frozenset[str]:
    """What to look for: the whole names and their longer parts, folded."""
    wholes = [_folded(name) for name in names]
    parts = {part for whole in wholes for part in whole.split() if _is_telling(part)}
    return frozenset({*wholes, *parts} - {""})


def holds(text: str, words: Collection[str]) -> bool:
    """Whether one of these stands in the text; a short one as a word of its own."""
    folded = _folded(text)
    return any(_is_in(word, folded) for word in words)


def names_one(text: str, names: Iterable[str]) -> bool:
    """Whether the text says one of these names, or a longer part of it, as words of its own."""
    return any(f" {word} " in f" {_folded(text)} " for word in sought(names))


def find_mentions(store: Store, names: Iterable[str], *, besides: Collection[str]) -> Mentions:
    """Where these names are mentioned, other than in the texts of the events `besides`."""
    names = list(names)
    words, wholes = sought(names), {_folded(name) for name in names}
    if not words:
        return Mentions()
    fields: dict[str, list[str]] = {}
    equal: set[str] = set()
    for row in store.disclosures():
        event_id = row.event_id
        text = open_disclosure(row.text).value
        if event_id not in besides and holds(text, words):
            fields.setdefault(event_id, []).append(row.field)
            equal |= {event_id} if row.field == "name" and _folded(text) in wholes else set()
    texts: list[tuple[Event, tuple[str, ...]]] = []
    namesakes: list[str] = []
    for event in (stored.event for stored in store.events_by_id(list(fields))):
        found = fields[event.id]
        if event.kind in _PEOPLE and event.id not in equal:
            found = [field for field in found if field != "name"]
        if event.kind in BRINGS_IN["player"] and event.id in equal and event.player:
            namesakes.append(event.player)
            found = [field for field in found if field != "name"]
        texts += [(event, tuple(found))] if found else []
    return Mentions(tuple(texts), tuple(dict.fromkeys(namesakes)), _staying(store, words))


def _is_telling(part: str) -> bool:
    # A name of two letters is common where vowels are signs, or where a letter is a syllable.
    return len(part) >= (PART_LETTERS if part.isascii() else OTHER_PART_LETTERS)


def _is_in(word: str, folded: str) -> bool:
    # A name in Chinese is short, and no space need be before or after it.
    if len(word) < INSIDE_LETTERS and word.isascii():
        return f" {word} " in f" {folded} "
    return word in folded


def _staying(store: Store, words: Collection[str]) -> tuple[Fixed, ...]:
    # Initials are the weighmaster's: named where they hold a word of the name, as any other text;
    # not where they are the child's first letters, which many weighmasters share.
    texts = fixed_texts(stored.event for stored in store.events())
    return tuple(fixed for fixed in texts if holds(fixed.text, words))


def _folded(text: str) -> str:
    """Small letters and digits, one space between words."""
    parted = unicodedata.normalize("NFKD", text)
    # A mark (Mn, Mc) would end a word: in Hindi vowels are marks, and not all of them combine.
    plain = "".join(letter for letter in parted if unicodedata.category(letter) not in _MARKS)
    return " ".join(re.findall(r"[^\W_]+", plain.casefold().translate(_AS_TYPED)))
