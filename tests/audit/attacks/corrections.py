"""Rows of the tables corrected after both have signed: by the program, and past it.

A correction that changes a signed list is told by the signature's state. One that the program
would not have written, for its author has no role for it, it corrects no row or claims another
time, is a note of the audit.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any

from ledger.record.accepted import Accepted
from ledger.store.sqlite.store import SqliteStore
from tests.audit.attacks.attack import NOTE, SAME, STATE, Attack, Outcome, opened
from tests.audit.attacks.commands import SIGNATURES
from tests.audit.attacks.signed_morning import NOW, OFFICE, holes, look, signed_morning

TEAM = {"name": "Elms"}
LINE = "a row of the tables corrected after both have signed"
BEFORE = "2026-09-05T13:00:00.000Z"


@dataclass(frozen=True)
class Try:
    """A row by kind and key of its data, what it gets, and who should notice."""

    row: tuple[str, str, str]
    change: Mapping[str, Any]
    noticed_by: str
    by: str = "rg"
    corrects: str | None = None
    entered: str = NOW


ASH, ELM, G1 = ("team", "team", "ash"), ("team", "team", "elm"), ("game", "game", "g1")
TRIES = {
    ", so that the list changes": {
        "a player's number": Try(("player", "player", "a1"), {"number": 7}, STATE),
        "a kickoff, after the game that went by its book": Try(
            G1, {"kickoff": "2026-09-20T15:00:00.000Z"}, STATE
        ),
        "the line of one who signed": Try(("official", "official", "we"), {"role": "coach"}, STATE),
        "a player's number, said to be of before": Try(
            ("player", "player", "a1"), {"number": 7}, STATE, entered=BEFORE
        ),
    },
    ", which leaves the list as it was": {
        "a team's name": Try(ELM, TEAM, SAME),
        "a limit": Try(("division", "division", "d1"), {"carrier_limit_clb": 9000}, SAME),
    },
    ", past the program": {
        "by one without a role for it": Try(ELM, TEAM, NOTE, by="wa"),
        "of no row": Try(ELM, TEAM, NOTE, corrects="weigh"),
        "of a row of another table": Try(ELM, TEAM, STATE, corrects="another table"),
        "said to be of before": Try(ELM, TEAM, NOTE, entered=BEFORE),
    },
}


def attacks() -> Iterator[Attack]:
    for words, tries in TRIES.items():
        for name, one in tries.items():
            yield Attack(f"{LINE}{words}", f"correction: {name}{words}", one.noticed_by,
                         outcome=partial(_try, one))  # fmt: skip


def _try(one: Try) -> Outcome:
    store = SqliteStore(opened(signed_morning().file))
    store.clock = lambda: NOW
    try:
        event_id = _correct(store, one)
        seen = look(store)
    finally:
        store.close()
    # A signature whose game or official is no more what it was counts for no side.
    others = [one for one in holes(seen) if not one.endswith("is not told of")]
    assert not others, others
    with_key = [told.state for told in seen.signatures.values() if told.row["how"] == "key"]
    states = {*with_key} - {"stands"}
    states |= {"no signature"} if len(with_key) < SIGNATURES else set()
    noted = {"note of the correction"} if any(event_id in note for note in seen.notes) else set()
    noticed_by = STATE if states else NOTE if noted else SAME
    return Outcome(noticed_by, frozenset(states | noted), False)


def _correct(store: SqliteStore, one: Try) -> str:
    """Append the whole row with its change, and return the event's id."""
    kind, key, value = one.row
    event = next(
        stored.event
        for stored in store.events(kind=[kind])
        if value in (getattr(stored.event, key, None), stored.event.data.get(key))
    )
    others = {
        None: event.id,
        "weigh": signed_morning().ids["weigh"],
        "another table": next(iter(store.events(kind=["game"]))).id,
    }
    data = {**event.data, **one.change, "corrects": others[one.corrects]}
    data.pop("digests", None)
    row = Accepted(kind, data, {"reason": "a slip"}, None, one.entered, one.by,
                   event.game, event.team, event.player)  # fmt: skip
    with store.writing() as writing:
        return writing.append([row], chain=OFFICE)[0]
