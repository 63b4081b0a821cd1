"""Compare the signed lists of a proof with its events.

As in the audit, for every signature to a list:

1. Its roots of other chains match their checkpoints in the proof, for equal sizes.
2. Its form is known, and form 1 never comes after form 2 in a chain.
3. In form 2: its number is that of the list kept with it; that list is for its own game and team;
   it covers every event that the list names; lines and rows match the events in the proof.
4. The key on a phone that was in force signed the list, if the proof has that key; the heads that
   the phone saw match the checkpoints in the proof.

A proof leaves things out on purpose. So an event named and missing, or present and not covered, is
not a difference: `SignedList` keeps both, and `ledger.say.proofs` says it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from hashlib import sha256
from typing import Any

from ledger.chain.canonical import canonical
from ledger.chain.event import HELD, Event, place_of
from ledger.chain.note import VerifierKey
from ledger.chain.others import Covered, State, covered_by, parse_others, parse_seen
from ledger.chain.phone import check_list_signature
from ledger.errors import InputError, IntegrityError
from ledger.witness.checked import CheckedChain, Differences, SignedList, StatedKey
from ledger.witness.keys import in_ledger_order, keys_in_force

FORM = 2
_HOW = ("key", "ink", "device")
_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,63}:[1-9][0-9]{0,14}")
_LINE = {"event", "player", "number", "reason", "at", "by", "struck"}
_ROW = {"game", "team", "player", "number", "may_play", "may_carry", "basis", "listed", "events"}


def check_lists(
    chains: Sequence[CheckedChain], stated: Sequence[StatedKey], found: Differences
) -> tuple[SignedList, ...]:
    """Return the signed lists in the order of the proof; add differences to `found`."""
    here = {event.id: event for chain in chains for event in chain.events}
    states = {
        (chain.chain, state.checkpoint.size): state
        for chain in chains
        for state in (*chain.earlier, *([chain.state] if chain.state else ()))
    }
    roots = {place: state.checkpoint.root for place, state in states.items()}
    cosigned = {place for place, state in states.items() if state.cosignatures}
    signed: list[SignedList] = []
    second: set[str] = set()
    for event in here.values():
        with found.noting(event.id):
            _check_roots(parse_others(event.data), roots)
            _check_roots(parse_seen(event.data), roots)
        if event.kind == "countersign" and ("list" in event.data or "how" in event.data):
            with found.noting(f"the signature {event.id}"):
                _check_form(event, second)
                covered = covered_by(event)
                named = list(_check_content(event, covered, here)) if _is_second(event) else []
                signed.append(
                    SignedList(
                        event=event,
                        not_here=tuple(sorted(set(named) - here.keys(), key=place_of)),
                        after=tuple(e for e in here.values() if _is_after(e, event, covered)),
                        is_cosigned=(event.chain, event.seq) in cosigned,
                        phone=_phone_of(event, covered, stated),
                    )
                )
    return tuple(signed)


def _is_second(event: Event) -> bool:
    return bool(event.data.get("form") == FORM)


def _is_after(event: Event, signature: Event, covered: Covered) -> bool:
    return event.id != signature.id and not covered.covers(event.chain, event.seq)


def _phone_of(event: Event, covered: Covered, stated: Sequence[StatedKey]) -> VerifierKey | None:
    """Return the phone's key that signed; None for another way to sign, or without the key."""
    if event.data.get("how") != HELD:
        return None
    own = [one.owner for one in stated if one.event.id == f"{event.chain}:1"]
    made = [one.event for one in stated if one.event.kind != "chain_key"]
    there = [one for one in made if covered.covers(one.chain, one.seq)]
    keys = keys_in_force(in_ledger_order(there))
    key = keys.get((str(event.by), None)) or keys.get((str(event.by), event.game))
    if key is None or not own:
        return None
    if not key.is_on_phone:
        raise IntegrityError(f"{event.by} had no key on a phone in force")
    check_list_signature(event, own[0], key.key)
    return key.key


def _check_roots(named: Mapping[str, State], roots: Mapping[tuple[str, int], bytes]) -> None:
    for chain, state in named.items():
        if roots.get((chain, state.size), state.root) != state.root:
            raise IntegrityError(f"it names another root of {chain} at {state.size} entries")


def _check_form(event: Event, second: set[str]) -> None:
    if event.data.get("how") not in _HOW:
        raise InputError("it is signed neither with a key nor in ink")
    if _is_second(event):
        second.add(event.chain)
    elif "form" in event.data:
        raise InputError("its form is unknown", hint="Update weighbook.")
    elif event.chain in second:
        raise IntegrityError("it has form 1, after form 2 in this chain")


def _check_content(event: Event, covered: Covered, here: Mapping[str, Event]) -> Iterator[str]:
    """Yield the ids that its list names."""
    content = event.data.get("shown")
    if not isinstance(content, dict) or content.keys() != {"game", "team", "rows", "lines"}:
        raise InputError("its list cannot be read")
    if sha256(canonical(content)).hexdigest() != event.data.get("list"):
        raise IntegrityError("its number is not that of the list kept with it")
    of = {"game": event.game, "team": event.team}
    if {key: content[key] for key in of} != of:
        raise IntegrityError("its list is for another game or team")
    for row in _items(content["rows"], _ROW):
        if {key: row[key] for key in of} != of or not isinstance(row["events"], list):
            raise InputError("a row of its list is for another game, or cannot be read")
        for one in row["events"]:
            yield _covered(one, covered)
            if one in here and not _is_about(here[one], row["player"], event):
                raise IntegrityError(f"{one} is not about the player whose row names it")
    for line in _items(content["lines"], _LINE):
        yield _covered(line["event"], covered)
        _compare(line, "list", here.get(line["event"]), event, line)
        if line["struck"] is not None:
            (struck,) = _items([line["struck"]], {"event", "at", "by"})
            yield _covered(struck["event"], covered)
            _compare(struck, "strike_off", here.get(struck["event"]), event, line)


def _items(value: Any, keys: set[str]) -> list[dict[str, Any]]:
    if not isinstance(value, list):
        raise InputError("its list cannot be read")
    for item in value:
        if not isinstance(item, dict) or item.keys() != keys:
            raise InputError("a row or line of its list has the wrong cells")
    return value


def _covered(one: Any, covered: Covered) -> str:
    if not isinstance(one, str) or not _ID.fullmatch(one):
        raise InputError("an event id in its list cannot be read")
    if not covered.covers(*place_of(one)):
        raise IntegrityError(f"its list names {one}, which it does not cover")
    return one


def _is_about(event: Event, player: Any, signature: Event) -> bool:
    is_players = event.kind == "half" or event.player == player
    return is_players and (event.kind == "initial" or event.game == signature.game)


def _compare(
    says: Mapping[str, Any], kind: str, event: Event | None, signature: Event, line: dict[str, Any]
) -> None:
    """Compare a line, or its strike-off, with the event that it names, if the proof has it."""
    if event is None:
        return
    theirs = (kind, signature.game, signature.team, line["player"], says["at"], says["by"])
    ours = (event.kind, event.game, event.team, event.player, event.at, event.by)
    is_reason = kind != "list" or event.data.get("reason") == line["reason"]
    if theirs != ours or not is_reason:
        raise IntegrityError(f"its list differs from {event.id}")
