"""Load a whole season folder, for the first time or again."""

from __future__ import annotations

from typing import NamedTuple

from ledger.errors import FolderError
from ledger.record.accept import Candidate
from ledger.record.accepted import Accepted
from ledger.record.folder import Folder
from ledger.record.unread_lines import unchecked_words
from ledger.store.chains import begin_chain
from ledger.store.comparing import Comparison, fault_of, gone_fault
from ledger.store.league import first_league
from ledger.store.recording import accept_next
from ledger.store.store import Writing


class LoadCount(NamedTuple):
    """What a load added, and what the folder holds in all."""

    rows_added: int
    lines_added: int
    rows: int
    lines: int


def load_folder(writing: Writing, folder: Folder, *, chain: str) -> LoadCount:
    """Append what the ledger lacks of the folder; FolderError if it has faults or does not fit."""
    compared = Comparison(writing.store, folder)
    known, loaded = compared.known, compared.loaded
    broken = folder.broken
    faults = [*folder.faults, *(gone_fault(key) for key in compared.vanished())]
    new_rows: list[Accepted] = []
    for row in compared.rows():
        stated = row.stated
        if event := loaded.rows.get(row.key):
            if changed := compared.differences(stated, event):
                faults.append(fault_of(row, changed))
        elif stated.kind == "player" and stated.player in known.players:
            found = f"'{stated.player}', already entered by enter_player"
            faults.append(row.place.fault("player", found, "a new id"))
        else:
            new_rows.append(stated)
            faults += row.if_new
    if broken.files & {file for file, _ in loaded.lines}:  # its lines cannot be counted off
        unchecked = unchecked_words(len(broken.missed), 0, len(folder.lines))
        raise FolderError(faults, unchecked=unchecked)
    more, stopped = compared.line_faults()
    faults += more
    new_lines = [line for line in compared.new_lines() if line.place.file not in stopped]
    faults += [fault for line in new_lines for fault in line.if_new]
    for stated in new_rows:
        known.learn(stated, "", ("", "", 0))
    candidates = [
        Candidate(line.statement, line.place, (line.place.file, line.record)) for line in new_lines
    ]
    if new_rows or new_lines:
        begin_chain(writing, chain, first_league(writing.store) or folder.league.data)
    head = writing.store.head(chain)
    rows, recorded = len(new_rows), writing.recorded
    lines, more = accept_next(known, candidates, chain, head, recorded, rows=rows, broken=broken)
    faults += more
    if faults:
        unchecked = unchecked_words(len(broken.missed), 0, broken.unchecked)
        raise FolderError(faults, unchecked=unchecked)
    writing.append([*new_rows, *lines], chain=chain)
    return LoadCount(len(new_rows), len(lines), len(folder.rows) + 1, len(folder.lines))
