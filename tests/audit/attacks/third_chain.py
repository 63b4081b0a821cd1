"""A third chain added to the file, at every place, by someone with no key but its own.

It looks as a device would write it: its own key, a listing, right hashes and links. Before a
signature that does not name it, its place in the order is impossible. After the last signature it
could be a device that came late; the audit notes a clock that contradicts the others.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache, partial
from typing import Any

import orjson

from ledger.audit.audit import audit
from ledger.audit.rows import RawEvent
from ledger.chain.event import make_event
from ledger.chain.hashing import BEGINNING
from ledger.chain.keys import KeyPair, make_key
from ledger.chain.merkle import root
from ledger.chain.note import VerifierKey, format_verifier_key
from tests.audit.attacks.attack import (
    AUDIT,
    NOBODY,
    NOTE,
    Attack,
    Hand,
    Outcome,
    opened,
    whole_file,
)
from tests.audit.attacks.rows import all_rows
from tests.audit.attacks.victim import victim

NAME = "booth"
ORIGIN = f"invented-league/2026/{NAME}"
EARLY, LATE = "2026-09-05T08:00:00.000Z", "2099-01-01T00:00:00.000Z"
WEIGHED = {"at": EARLY, "entered": EARLY, "by": "wa", "game": "g1", "team": "ash", "player": "a1"}


def attacks() -> Iterator[Attack]:
    rows = all_rows()
    for place in range(1, len(rows) + 1):
        for names in (True, False):
            for clock in (EARLY, LATE):
                how = "naming the others" if names else "naming none"
                what = "set back" if clock == EARLY else "ahead"
                noticed_by = NOTE
                if any(map(_is_naming, rows[place:])):
                    noticed_by = AUDIT
                elif place == len(rows) and names and clock == LATE:
                    noticed_by = NOBODY  # as a device that comes last would write
                yield Attack(
                    f"a third chain added at any place, {how}, its clock {what}",
                    f"{NAME} after {place} events, {how}, its clock {what}",
                    noticed_by,
                    outcome=partial(_try, place, names, clock),
                )


def _is_naming(row: RawEvent) -> bool:
    """Whether it is a countersignature that names every chain there is."""
    return row.kind == "countersign" and "form" in orjson.loads(row.body)["data"]


@cache
def _key() -> KeyPair:
    return make_key()


def _put_in(place: int, names: bool, clock: str, hand: Hand) -> None:
    data: dict[str, Any] = {
        "origin": ORIGIN,
        "key": format_verifier_key(VerifierKey(ORIGIN, _key().public)),
    }
    if names:
        data["others"] = _heads(hand, place)
    hand.run("update event set position = -position - 2 where position > ?", place)
    hand.run("update event set position = -position where position < 0")
    hand.run("insert into key (name, sealed) values (?, ?)", ORIGIN, _key().private)
    prev = BEGINNING
    weigh = {"kind": "weigh", "data": {"number": 1, "value": "ok"}} | WEIGHED
    for seq, body in enumerate(({"kind": "chain_key", "data": data}, weigh), 1):
        written, hashed = make_event(body, chain=NAME, seq=seq, prev=prev, recorded=clock)
        row = {"position": place + seq, "chain": NAME, "seq": seq, "prev": prev, "hash": hashed}
        row |= {"body": written.decode(), "recorded": clock, "clock": clock}
        row |= {key: body.get(key) for key in ("kind", "entered", "game", "team", "player")}
        hand.add(RawEvent(**row, subject=None, ref=None))
        prev = hashed


def _heads(hand: Hand, place: int) -> dict[str, dict[str, Any]]:
    """The chains as long as they are at that place, as an honest device would name them."""
    found: dict[str, list[bytes]] = {}
    query = "select chain, hash from event where position <= ? order by position"
    for chain, hashed in hand.run(query, place):
        found.setdefault(chain, []).append(hashed)
    return {chain: {"size": len(own), "root": root(own).hex()} for chain, own in found.items()}


def _try(place: int, names: bool, clock: str) -> Outcome:
    hand = Hand(opened(whole_file()), victim())
    guards = hand.run("select name, sql from sqlite_master where type = 'trigger'")
    for name, _ in guards:
        hand.run(f"drop trigger {name}")
    _put_in(place, names, clock, hand)
    for _, sql in guards:
        hand.run(sql)
    report = audit(hand.connection)
    if report.problems:
        return Outcome(AUDIT, frozenset(one.problem for one in report.problems), False)
    assert not audit(hand.connection, since=victim().kept).problems
    hand.connection.close()
    notes = [note for step in report.steps for note in step.notes]
    if any(f"{NAME}:" in note and "clock" in note for note in notes):
        return Outcome(NOTE, frozenset({"note of the clock"}), False)
    return Outcome(NOBODY, frozenset(), False)
