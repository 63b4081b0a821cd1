"""Record the taps that a device could not send, from the file it saved ("Save what waits").

The file has the columns of a day file. Lines with refs such as `k3f9x2ab-17.1` and `k3f9x2ab-17.2`
are one tap. A tap that the ledger has by now, because the device sent it after all, is not recorded
twice; one that is refused leaves the others alone.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path

from ledger.actions.asking import ACTING, Acting, ask_about
from ledger.actions.taps import Recorder, Tap, read_tap
from ledger.errors import FolderError, InputError, LedgerError
from ledger.record.csvfile import Record, read_records
from ledger.record.fields import COLUMNS
from ledger.record.questions import questions_of
from ledger.record.times import zone
from ledger.store.league import league_zone
from ledger.store.store import Store


@dataclass(frozen=True)
class SavedTap:
    """A tap of the file: its lines, and what they say or why nobody can read them."""

    lines: tuple[int, ...]
    tap: Tap | LedgerError


@dataclass(frozen=True)
class Refused:
    """A tap that was not recorded: its lines in the file, and why."""

    lines: tuple[int, ...]
    error: LedgerError


@dataclass(frozen=True)
class SavedEntered:
    """Event ids of the new entries, how many taps the ledger had already, and what was refused."""

    event_ids: tuple[str, ...]
    held: int
    refused: tuple[Refused, ...]


def is_saved_file(path: Path) -> bool:
    """Whether the file begins as a saved one does, not as a sheet that was filled in."""
    if path.suffix.casefold() != ".csv":
        return False
    first = path.read_bytes()[:4096].decode("utf-8-sig", "replace").partition("\n")[0]
    return {"at", "kind", "by", "ref"} <= {cell.strip('" \r') for cell in first.split(",")}


def read_saved(store: Store, path: Path) -> list[SavedTap]:
    """Read the taps of the file, in its order. FolderError for a file that is no such file."""
    records, faults, _ = read_records(path, path.name, list(COLUMNS))
    faults += [
        record.place.fault("ref", "nothing", "the ref that the device gave the line")
        for record in records
        if not record.cells.get("ref")
    ]
    if faults:
        raise FolderError(faults)
    if not records:
        raise InputError(f"{path.name} has no taps in it; nothing was recorded")
    acts: dict[str, list[Record]] = defaultdict(list)
    for record in records:
        acts[record.cells["ref"].rpartition(".")[0] or record.cells["ref"]].append(record)
    local = zone(league_zone(store))
    found = []
    for lines in acts.values():
        places = tuple(record.place.line for record in lines)
        try:
            found.append(SavedTap(places, read_tap([r.cells for r in lines], local, fine=True)))
        except LedgerError as error:
            found.append(SavedTap(places, error))
    return found


def enter_saved(store: Store, taps: list[SavedTap], acting: Acting = ACTING) -> SavedEntered:
    """Record these taps in one transaction, each all or none. Asks about texts."""
    read = [(one.lines, one.tap) for one in taps if isinstance(one.tap, Tap)]
    statements = [said for _, tap in read for said in tap.statements]
    ask_about([one for said in statements for one in questions_of(said)], acting)
    done = Recorder(store, acting.writes_to).record([tap for _, tap in read])
    refused = [Refused(one.lines, one.tap) for one in taps if isinstance(one.tap, LedgerError)]
    ids: list[str] = []
    held = 0
    for (lines, _), one in zip(read, done, strict=True):
        if isinstance(one, LedgerError):
            refused.append(Refused(lines, one))
        elif one.is_new:
            ids += one.event_ids
        else:
            held += 1
    return SavedEntered(tuple(ids), held, tuple(sorted(refused, key=lambda one: one.lines)))
