"""Load a whole season folder, for the first time or again."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from ledger.chain.disclosure import open_disclosure
from ledger.chain.event import Event
from ledger.errors import Fault, FolderError
from ledger.record.accept import Candidate
from ledger.record.accepted import Accepted, accept_fields
from ledger.record.folder import Folder, Line
from ledger.record.known import Known
from ledger.record.reading import Place
from ledger.record.tables import PlacedRow, Row
from ledger.store.chains import begin_chain
from ledger.store.loaded import Loaded, differences
from ledger.store.recording import accept_next
from ledger.store.reloading import check_lines
from ledger.store.store import Store, Writing


class LoadCount(NamedTuple):
    """What a load added, and what the folder holds in all."""

    rows_added: int
    lines_added: int
    rows: int
    lines: int


def load_folder(writing: Writing, folder: Folder, *, chain: str) -> LoadCount:
    """Append what the ledger lacks of the folder; FolderError if it does not fit."""
    known, ledger = _read_all(writing.store)
    personal = _personal_texts(writing.store)
    zone_name = str((ledger.setup.get(("league",)) or folder.league).data["time_zone"])
    faults = _vanished(ledger, folder)
    new_rows: list[Accepted] = []
    for accepted, place, key, if_new in _setup(folder):
        event = ledger.setup.get(key)
        if event:
            right = "the row as it was loaded; tables and rules stay the same all season"
            faults += differences(accepted, event, personal, place, right, zone_name)
        elif key[0] == "player" and accepted.player in known.players:
            found = f"'{accepted.player}', already entered by enter_player"
            faults.append(place.fault("player", found, "a new id"))
        else:
            new_rows.append(accepted)
            faults += if_new

    def differ(line: Line, event: Event) -> list[Fault]:
        right = "the line as it was loaded; to take it back, add a withdraw line"
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
    lines, more = accept_next(known, candidates, chain, head, writing.recorded, rows=len(new_rows))
    faults += more
    if faults:
        raise FolderError(faults)
    writing.append([*new_rows, *lines], chain=chain)
    return LoadCount(len(new_rows), len(lines), len(folder.rows) + 1, len(folder.lines))


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
                                      "every row loaded before")
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
