"""The morning that ordinary commands attack: two lists of ash, both signed, and who notices.

Number 1 is over in g1 and listed, number 2 absent; `wa` and `we` sign at 14:30 UTC, by the
ledger's clock. A week later, in g2, no scale works: number 1 goes by the book, and `we` signs.
Copies of all receipts are at home.
"""

from __future__ import annotations

import pickle
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from ledger.audit.audit import audit
from ledger.audit.kept import KeptNote
from ledger.chain.checkpoint import parse_checkpoint
from ledger.chain.event import Event
from ledger.chain.others import covered_by
from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.signatures import Signatures, SignedList
from ledger.derive.signed_list import list_content, list_contents
from ledger.errors import FolderError
from ledger.record.folder import read_folder
from ledger.record.reading import Place, read_statement
from ledger.record.times import zone
from ledger.store.loading import load_folder
from ledger.store.opening import open_or_make
from ledger.store.recording import record_statements
from ledger.store.sqlite.store import SqliteStore
from tests.audit.attacks.attack import in_memory, opened
from tests.once import made_once
from tests.signing import OFFICE, SIGNED_AT, Morning
from tests.tiny import write_folder

PICKLE = "signed.pickle"
SIGNED_G2 = "2026-09-12T14:30:00.000Z"
LOADED, NOW = "2026-09-01T00:00:00.000Z", "2026-09-14T18:00:00.000Z"
SET_BACK = "2026-09-05T08:00:00.000Z"
LOCAL = zone("America/Chicago")
ON_LIST = ("weigh", "late_weigh", "initial", "list", "strike_off", "stripe")
NOT_WEIGHED = {"none", "declared"}
Key = tuple[str, str]
SIGNED_LISTS: tuple[Key, ...] = (("g1", "ash"), ("g2", "ash"))


@dataclass
class Signed:
    """The file's bytes, the ids of its events by name, and the receipts at home."""

    file: bytes = b""
    ids: dict[str, str] = field(default_factory=dict)
    kept: list[KeptNote] = field(default_factory=list)


@cache
def signed_morning() -> Signed:
    """The ledger, made once a run."""
    made: Signed = pickle.loads((made_once("signed-morning", _make) / PICKLE).read_bytes())
    return made


def _make(made: Path) -> None:
    folder = write_folder(made / "season")
    with open_or_make(made / "tiny.weighbook") as store:
        store.clock = lambda: LOADED
        with store.writing() as writing:
            load_folder(writing, read_folder(folder), chain=OFFICE)
        store.clock = lambda: SIGNED_AT
        (made / PICKLE).write_bytes(pickle.dumps(_play(Morning(store))))


def _play(one: Morning) -> Signed:
    signed, state = Signed(), one.state
    ids = signed.ids
    ids["absent"] = state("list", player="a2", reason="absent", by="wa")
    ids["weigh"] = state("weigh", player="a1", value="over", by="we")
    ids["mark"] = state("initial", player="a1", value="over", initials="WE", by="we")
    ids["over"] = state("list", player="a1", reason="over", by="we")
    ids["stripe"] = state("stripe", player="a1", by="we")
    ids["mistaken"] = state("list", player="a2", reason="injured", by="wa")
    ids["undone"] = state("withdraw", team=None, target=ids["mistaken"], by="wa", reason="a slip")
    for official in ("wa", "we"):
        _sign(one, signed, official, "g1")
    one.store.clock = lambda: SIGNED_G2
    for kind, data in (("weigh", {"value": "no_scale"}), ("list", {"reason": "over"})):
        ids[f"{kind} in g2"] = state(kind, game="g2", player="a1", by="we",
                                     at="2026-09-12T14:10:00.000Z", **data)  # fmt: skip
    _sign(one, signed, "we", "g2")
    one.store.connection.execute("pragma wal_checkpoint(truncate)")
    signed.file = in_memory(one.store.connection.serialize())
    return signed


def _sign(one: Morning, signed: Signed, official: str, game: str) -> None:
    made = one.sign(official, game=game)
    signed.ids[f"{official} in {game}"] = made.event_id
    signed.kept.append(KeptNote(made.event_id, made.note, parse_checkpoint(made.note.text)))


class Command(NamedTuple):
    """One `weighbook record`: the cells it gives, in which chain, and what the clock says."""

    cells: Mapping[str, str]
    chain: str = OFFICE
    clock: str = NOW


@contextmanager
def after(
    commands: Sequence[Command], *, skips_refused: bool = False
) -> Iterator[tuple[SqliteStore, list[str]]]:
    """A ledger of its own after these commands, and what they recorded.

    A cell "@weigh" is the id of the morning's event of that name, "@1" of the first recorded here,
    "@last" of the last.
    """
    signed = signed_morning()
    store = SqliteStore(opened(signed.file))
    recorded: list[str] = []
    try:
        for command in commands:
            store.clock = lambda clock=command.clock: clock  # type: ignore[misc]
            named = signed.ids | {str(n): one for n, one in enumerate(recorded, 1)}
            named["last"] = recorded[-1] if recorded else named["undone"]
            cells = {
                key: named[text[1:]] if text.startswith("@") else text
                for key, text in command.cells.items()
            }
            statement, faults = read_statement(cells, LOCAL, Place())
            assert statement, faults
            try:
                with store.writing() as writing:
                    recorded += record_statements(writing, [statement], chain=command.chain)
            except FolderError:
                assert skips_refused
        yield store, recorded
    finally:
        store.close()


class Seen(NamedTuple):
    """The ledger's answers afterwards: the lists, their signatures, findings, the audit."""

    contents: Mapping[Key, Mapping[str, Any]]
    signatures: Mapping[str, SignedList]
    behind: frozenset[str]
    events: Mapping[str, Event]
    problems: Sequence[object]
    notes: Sequence[str]


def look(store: SqliteStore) -> Seen:
    """What lists, `sign`, findings and the audit would say, the receipts at home beside it."""
    stored = list(store.events())
    engine = Engine(stored)
    try:
        found = list_contents(engine)
        contents = {key: found.get(key) or list_content(engine, *key) for key in SIGNED_LISTS}
        told = Signatures(engine, stored)
        signatures = [one for key in SIGNED_LISTS for one in told.of(*key, contents[key])]
        behind = find(engine, rule="stated_behind_signature").dicts()
    finally:
        engine.close()
    report = audit(store.connection, since=signed_morning().kept)
    return Seen(
        contents,
        {one.event_id: one for one in signatures},
        frozenset(one for row in behind for one in row["events"]),
        {one.id: one.event for one in stored},
        report.problems,
        [note for step in report.steps for note in step.notes],
    )


def holes(seen: Seen) -> list[str]:
    """Return what went unnoticed, and what was reported although nothing changed."""
    found = [f"the audit: {problem}" for problem in seen.problems]
    behind: set[str] = set()
    for event in seen.events.values():
        if event.kind == "countersign" and event.data.get("form"):
            found += _holes_of(event, seen)
            behind |= _behind(event, seen)
    # What is withdrawn does not count, and a game that is off has no findings.
    missing = {
        one
        for one in behind - seen.behind
        if _counts(one, seen) and not _is_off(_about(one, seen).game, seen)
    }
    found += [f"no finding about {one}" for one in sorted(missing)]
    return found + [f"a finding about {one}" for one in sorted(seen.behind - behind)]


def _holes_of(event: Event, seen: Seen) -> Iterator[str]:
    signed, now = event.data["shown"], seen.contents[str(event.game), str(event.team)]
    told = seen.signatures.get(event.id)
    if told is None:
        if _counts(event.id, seen) and not _is_off(event.game, seen):
            yield f"{event.id} is not told of"
        return
    if (told.state == "stands") != (now == signed):
        yield f"{event.id}: {told.state}, though {'nothing' if now == signed else 'it'} changed"
    differ = _differing(signed, now)
    if {one.player for one in told.changes} != set(differ):
        yield f"{event.id}: changes of {[one.player for one in told.changes]}, not of {differ}"
    was = {row["player"]: row["basis"] for row in signed["rows"]}
    if told.state == "late_arrivals" and {was.get(one, "none") for one in differ} - NOT_WEIGHED:
        yield f"{event.id}: a late arrival who was weighed when it was signed"


def _differing(signed: Mapping[str, Any], now: Mapping[str, Any]) -> list[str]:
    """The players whose rows or lines are not the same."""

    def of(content: Mapping[str, Any], player: str) -> list[Any]:
        return [one for key in ("rows", "lines") for one in content[key] if one["player"] == player]

    players = {one["player"] for content in (signed, now) for one in content["rows"]}
    players |= {one["player"] for content in (signed, now) for one in content["lines"]}
    return sorted(one for one in players if of(signed, one) != of(now, one))


def _behind(signature: Event, seen: Seen) -> set[str]:
    """Statements about its list, not covered, dated at or before it (sql/README.md, section 10)."""
    covered = covered_by(signature)
    return {
        one.id
        for one in seen.events.values()
        if (one.entered or "~") <= signature.recorded
        and not covered.covers(one.chain, one.seq)
        and (base := _about(one.id, seen)).kind in ON_LIST
        and (base.game, base.team) == (signature.game, signature.team)
    }


def _counts(event_id: str, seen: Seen) -> bool:
    """A withdrawal counts unless a withdrawal of it counts; no order enters into this."""
    return not any(
        one.data["target"] == event_id and _counts(one.id, seen)
        for one in seen.events.values()
        if one.kind == "withdraw"
    )


def _is_off(game: str | None, seen: Seen) -> bool:
    return any(
        (one.kind, one.game) == ("game_off", game) and _counts(one.id, seen)
        for one in seen.events.values()
    )


def _about(event_id: str, seen: Seen) -> Event:
    """The statement, or what its withdrawals take back or restore."""
    event = seen.events[event_id]
    while event.kind == "withdraw":
        event = seen.events[event.data["target"]]
    return event
