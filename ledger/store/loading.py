"""How statements come in: a whole season folder, or one line at a time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import NamedTuple

from ledger.chain.disclosure import open_disclosure
from ledger.chain.event import Event
from ledger.errors import Fault, FolderError
from ledger.record.accept import Candidate, accept
from ledger.record.accepted import Accepted, accept_fields
from ledger.record.folder import Folder, Line
from ledger.record.known import Known
from ledger.record.reading import Place
from ledger.record.statements import Statement
from ledger.record.tables import PlacedRow, Row
from ledger.store.acts import Signer, append_act
from ledger.store.chains import begin_chain
from ledger.store.loaded import Loaded, differences
from ledger.store.reloading import check_lines
from ledger.store.snapshot import ByIndex, Snapshot
from ledger.store.store import Head, Store, Writing
from ledger.store.trees import Trees


class LoadCount(NamedTuple):
    """What a load added, and what the folder holds in all."""

    rows_added: int
    lines_added: int
    rows: int
    lines: int


@dataclass(frozen=True)
class Recording:
    """A transaction that statements go into, and what is known in it; thrown away with it."""

    writing: Writing
    known: Known
    trees: Trees | None = None

    def record(
        self, statements: Sequence[Statement], *, chain: str, signer: Signer | None = None
    ) -> list[str]:
        """Append these statements in this order, or none; their event ids, or FolderError.

        A `signer` signs each: for statements that are acts.
        """
        store = self.writing.store
        if not store.head(chain).seq:
            (league, *_) = store.events(kind=["league"])
            begin_chain(self.writing, chain, league.event.data, self.trees)
        candidates = [Candidate(statement, Place()) for statement in statements]
        head, recorded = store.head(chain), self.writing.recorded
        accepted, faults = _accept(self.known, candidates, chain, head, recorded)
        if faults:
            raise FolderError(faults)
        if signer is not None:
            return [append_act(self.writing, one, chain=chain, signer=signer) for one in accepted]
        return self.writing.append(accepted, chain=chain)


def load_folder(writing: Writing, folder: Folder, *, chain: str) -> LoadCount:
    """Append what of the folder is not in the ledger yet; FolderError when it does not fit."""
    known, ledger = _read_all(writing.store)
    personal = _personal_texts(writing.store)
    zone_name = str((ledger.setup.get(("league",)) or folder.league).data["time_zone"])
    faults = _vanished(ledger, folder)
    new_rows: list[Accepted] = []
    for accepted, place, key, if_new in _setup(folder):
        event = ledger.setup.get(key)
        if event:
            right = "the row as it was loaded; tables and rules hold for the season"
            faults += differences(accepted, event, personal, place, right, zone_name)
        elif key[0] == "player" and accepted.player in known.players:
            found = f"'{accepted.player}', which enter_player has entered"
            faults.append(place.fault("player", found, "a new id"))
        else:
            new_rows.append(accepted)
            faults += if_new

    def differ(line: Line, event: Event) -> list[Fault]:
        right = "the line as it was loaded; withdraw it instead, by a new line"
        stated = _as_loaded(known, line, event.chain)
        return differences(stated, event, personal, line.place, right, zone_name)

    more, stopped = check_lines(ledger, folder, differ, zone_name)
    faults += more
    new_lines = [
        line
        for line in folder.lines
        if (line.place.file, line.record) not in ledger.lines and line.place.file not in stopped
    ]
    faults += [fault for line in new_lines for fault in line.if_new]
    for row in new_rows:
        known.learn(row, "", ("", "", 0))
    candidates = [
        Candidate(line.statement, line.place, (line.place.file, line.record)) for line in new_lines
    ]
    if new_rows or new_lines:
        begin_chain(writing, chain, folder.league.data)
    head = writing.store.head(chain)
    lines, more = _accept(known, candidates, chain, head, writing.recorded, rows=len(new_rows))
    faults += more
    if faults:
        raise FolderError(faults)
    writing.append([*new_rows, *lines], chain=chain)
    return LoadCount(len(new_rows), len(lines), len(folder.rows) + 1, len(folder.lines))


def record_statement(
    writing: Writing, statement: Statement, *, chain: str, signer: Signer | None = None
) -> str:
    """Append one statement and return its event id; FolderError when it is not accepted."""
    return record_statements(writing, [statement], chain=chain, signer=signer)[0]


def record_statements(
    writing: Writing, statements: Sequence[Statement], *, chain: str, signer: Signer | None = None
) -> list[str]:
    """Append these statements in this order, or none; their event ids, or FolderError.

    A `signer` signs each: for statements that are acts.
    """
    recording = Recording(writing, Known(ByIndex(writing.store)))
    return recording.record(statements, chain=chain, signer=signer)


@contextmanager
def recording(snapshot: Snapshot) -> Iterator[Recording]:
    """A transaction in which the snapshot has caught up with the ledger.

    What is recorded in it, refused or undone teaches the snapshot nothing: it learns by reading.
    """
    with snapshot.store.writing() as writing:
        snapshot.follow()
        yield Recording(writing, Known(snapshot))


def record_alone(snapshot: Snapshot, statements: Sequence[Statement], *, chain: str) -> list[str]:
    """Append these statements in this order, or none, in a transaction of their own.

    Returns their event ids, or raises FolderError. They are accepted before the lock, where all
    that they need is read and faults are worded; under it again only if something new came in, so
    that others wait for milliseconds.
    """
    snapshot.follow()
    store = snapshot.store
    candidates = [Candidate(statement, Place()) for statement in statements]
    head = store.head(chain)
    accepted, faults = _accept(Known(snapshot), candidates, chain, head, store.clock())
    if faults:
        raise FolderError(faults)
    trees = None if head.seq else Trees(store)  # a new chain names the heads of all others
    if trees:
        trees.catch_up()
    with store.writing() as writing:
        # Several may turn on one another by the clock, which is read under the lock.
        if snapshot.follow() or len(statements) > 1 or not head.seq:
            return Recording(writing, Known(snapshot), trees).record(statements, chain=chain)
        return writing.append(accepted, chain=chain)


def _accept(
    known: Known,
    candidates: Sequence[Candidate],
    chain: str,
    head: Head,
    recorded: str,
    *,
    rows: int = 0,
) -> tuple[list[Accepted], list[Fault]]:
    """Accept statements that will follow this many new rows at the end of the chain."""
    clock = max(head.clock, recorded)
    return accept(known, candidates, chain=chain, seq=head.seq + rows + 1, clock=clock)


def _read_all(store: Store) -> tuple[Known, Loaded]:
    """Learn every event, in ledger order."""
    known, loaded = Known(), Loaded()
    for stored in store.events():
        event = stored.event
        known.learn(event, event.id, stored.order)
        loaded.learn(event)
    return known, loaded


def _setup(folder: Folder) -> list[tuple[Accepted, Place, tuple[str, ...], Sequence[Fault]]]:
    def one(placed: PlacedRow) -> tuple[Accepted, Place, tuple[str, ...], Sequence[Fault]]:
        row: Row = placed.row
        accepted = row.accepted()
        return accepted, placed.place, (accepted.kind, *row.key), placed.if_new

    league = (folder.league, Place("league.toml"), ("league",), ())
    return [league, *(one(placed) for placed in folder.rows)]


def _vanished(loaded: Loaded, folder: Folder) -> list[Fault]:
    """Rows that were loaded and that the folder no longer has."""
    rows = {key for _, _, key, _ in _setup(folder)}
    return [
        Place(f"{key[0]}s.csv").fault("", f"no row for {' '.join(filter(None, key[1:]))}",
                                      "every row that was loaded before")
        for key in loaded.setup
        if key not in rows
    ]  # fmt: skip


def _as_loaded(known: Known, line: Line, chain: str) -> Accepted:
    accepted = accept_fields(line.statement)
    if "target" in accepted.data:
        target = accepted.data["target"]
        accepted.data["target"] = known.chains[chain].refs.get(target, target)
    return accepted


def _personal_texts(store: Store) -> dict[tuple[str, str], str]:
    """Disclosed text by (event id, field); what was erased is not among it."""
    return {
        (row.event_id, row.field): open_disclosure(row.text).value for row in store.disclosures()
    }
