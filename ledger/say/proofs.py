"""A checked proof in plain words for someone who was not there: what it proves and what it cannot.

Times are UTC: a proof may lack the league's time zone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from ledger.chain.cosignature import Cosignature
from ledger.chain.event import HELD, Event
from ledger.chain.note import format_verifier_key
from ledger.chain.others import parse_others
from ledger.errors import InputError, count_of
from ledger.record.corrections import rows_that_count
from ledger.say import codes
from ledger.say.clock import unix_time
from ledger.say.words import printable
from ledger.witness.checked import CheckedChain, CheckedProof, SignedState

MOST_SHOWN = 12
"""Up to this many statements are shown one by one; more are only counted."""

_APART = ("digests", "source", "others", "shown", "seen", "signature", "proof")


@dataclass(frozen=True)
class Section:
    """A heading and its paragraphs."""

    heading: str
    lines: tuple[str, ...]


def sections(checked: CheckedProof) -> tuple[Section, ...]:
    """What the proof says; only the differences if it does not hold."""
    if not checked.ok:
        return (_section("What differs", checked.differences),)
    return (
        _section("What is proved", _proved(checked)),
        _section("Who signed", _signed(checked)),
        _section("Names and other personal text shown", _texts(checked)),
        _section("What this cannot prove", _not_proved(checked)),
    )


def sentence(checked: CheckedProof) -> str:
    """The verdict in one sentence."""
    if checked.ok:
        return "Everything in it fits together."
    count = count_of(len(checked.differences), "difference")
    return f"It does not hold: {count}. Do not rely on anything in it."


def entry_line(event: Event) -> str:
    """An entry in one line."""
    whole = {"game": event.game, "team": event.team, "player": event.player, "by": event.by,
             "at": event.at, "entered": event.entered, "recorded": event.recorded}  # fmt: skip
    said = {key: value for key, value in event.data.items() if key not in _APART}
    words = [f"{key} {value}" for key, value in (whole | said).items() if value is not None]
    words += _others(event)
    return printable(f"{event.id}: {event.kind}; {', '.join(words)}")


def _others(event: Event) -> list[str]:
    try:
        others = parse_others(event.data)
    except InputError as error:
        return [error.message]
    return [
        f"the chain {chain} at {count_of(state.size, 'entry', 'entries')}, root {state.root.hex()}"
        for chain, state in others.items()
    ]


def ranges(events: Sequence[Event]) -> str:
    """Event ids of one chain, with runs joined.

    >>> from types import SimpleNamespace as E
    >>> ranges([E(chain="office", seq=seq) for seq in (1, 4, 5, 6)])
    'office:1, office:4 to 6'
    """
    seqs = [event.seq for event in events]
    begins = [n for n in range(len(seqs)) if n == 0 or seqs[n] != seqs[n - 1] + 1]
    runs = [(seqs[a], seqs[b - 1]) for a, b in pairwise([*begins, len(seqs)])]
    parts = [str(a) if a == b else f"{a} to {b}" for a, b in runs]
    return ", ".join(f"{events[0].chain}:{part}" for part in parts)


def _section(heading: str, lines: Iterable[str]) -> Section:
    return Section(heading, tuple(map(printable, lines)))


def _proved(checked: CheckedProof) -> Iterator[str]:
    for chain, state in _held(checked):
        entries, tree = count_of(len(chain.events), "entry", "entries"), state.checkpoint
        yield (
            f"{entries} of the ledger {tree.origin}, letter for letter: {ranges(chain.events)}. "
            f"Each has this exact place among the ledger's {tree.size:,}, and the signatures below "
            "cover all of those."
        )
    if len(own := [event for event in checked.events if event.at]) <= MOST_SHOWN:
        yield from map(entry_line, own)
    here = {event.id for event in checked.events}
    for event in checked.events:
        target = str(event.data.get("target"))
        if event.kind == "withdraw" and target in here:
            yield f"{event.id} withdrew {target}."


def _signed(checked: CheckedProof) -> Iterator[str]:
    for chain, state in _held(checked):
        for each in (state, *reversed(chain.earlier)):
            tree = each.checkpoint
            by = [f"{tree.origin} (the ledger itself)"]
            by += [_signer(checked, one) for one in each.cosignatures]
            more = "" if each is state else ", the beginning of the state above"
            size = count_of(tree.size, "entry", "entries")
            yield f"{size}{more}: signed by {'; '.join(by)}."
    yield from _phones(checked)


def _phones(checked: CheckedProof) -> Iterator[str]:
    for one in checked.lists:
        if one.phone is not None:
            what = f"{one.event.team} in {one.event.game}"
            later = "" if one.is_cosigned else "; this proof has no checkpoint that it witnessed"
            yield f"{one.event.id}, the list of {what}: signed by {one.event.by}'s phone{later}."


def _signer(checked: CheckedProof, cosignature: Cosignature) -> str:
    owners = [one.owner for one in checked.keys if one.key == cosignature.key]
    roles = [_role(event, owners[0]) for event in rows_that_count(checked.events)]
    held = ", ".join(dict.fromkeys(role for role in roles if role))
    who = f"{owners[0]} ({held})" if held else owners[0]
    return f"{who} on {unix_time(cosignature.time, 'UTC')}"


def _role(event: Event, official: str) -> str:
    data = event.data
    who, role = (
        (data.get("value"), data.get("to"))
        if event.kind == "appoint"
        else (data.get("official"), data.get("role") if event.kind == "official" else None)
    )
    if who != official or not isinstance(role, str):
        return ""
    return codes.role_held(role, event.team, event.game)


def _texts(checked: CheckedProof) -> Iterator[str]:
    for text in checked.texts:
        whose = text.event.player or text.event.data.get("official") or text.event.data.get("value")
        about = f" of {whose}" if text.field == "name" and whose else ""
        yield f"{text.event.id}, {text.field}{about}: {text.value}"
    digests = [event.data.get("digests") for event in checked.events]
    held = sum(len(each) for each in digests if isinstance(each, Mapping))
    if hidden := held - len(checked.texts):
        yield f"Not shown, or erased: {count_of(hidden, 'text')}. These entries have only digests."
    elif not checked.texts:
        yield "None."


def _not_proved(checked: CheckedProof) -> Iterator[str]:
    yield "That a statement is true. It proves only that it was made and has not changed since."
    for chain, state in _held(checked):
        if hidden := state.checkpoint.size - len(chain.events):
            yield (
                f"What {count_of(hidden, 'other entry', 'other entries')} of {chain.chain} say; "
                "they may withdraw or correct one of these."
            )
        if not state.cosignatures and not any(one.cosignatures for one in chain.earlier):
            yield (
                f"That nobody rewrote {chain.chain} before it was signed: no official signed it "
                "with a personal key."
            )
    yield from _of_lists(checked)
    yield (
        "The times. People wrote at and entered; recorded is by the ledger's clock, and a "
        "signature's time by the clock of the device that signed."
    )
    yield "Whose keys these are. Compare them with your own paper or receipt:"
    for one in checked.keys:
        if one.event.kind != "key_revoked":
            yield format_verifier_key(one.key)


def _of_lists(checked: CheckedProof) -> Iterator[str]:
    """Statements that a list's signature names and the proof lacks, and those it does not cover."""
    here = {event.id: event for event in checked.events}
    after: dict[tuple[str, ...], list[str]] = {}
    for one in checked.lists:
        if one.not_here:
            missing = count_of(len(one.not_here), "statement")
            yield f"Everything the signature {one.event.id} covers: this proof lacks {missing}."
        if one.event.data.get("how") == "key" and not one.is_cosigned:
            yield (
                f"That a key made the signature {one.event.id}: this proof lacks the checkpoint "
                "that the key signed."
            )
        if one.event.data.get("how") == HELD and one.phone is None:
            yield f"That a phone made the signature {one.event.id}: this proof lacks its key."
        if late := tuple(event.id for event in one.after if event.kind != "countersign"):
            after.setdefault(late, []).append(one.event.id)
    for late, signatures in after.items():
        by_chain: dict[str, list[Event]] = {}
        for event in map(here.__getitem__, late):
            by_chain.setdefault(event.chain, []).append(event)
        entries = ", ".join(map(ranges, by_chain.values()))
        yield f"That these were signed in {', '.join(signatures)}: {entries}. They came later."


def _held(checked: CheckedProof) -> Iterator[tuple[CheckedChain, SignedState]]:
    for chain in checked.chains:
        if chain.state:
            yield chain, chain.state
