"""A season folder beside the ledger that it was loaded into before."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from ledger.chain.disclosure import open_disclosure
from ledger.chain.event import Event
from ledger.errors import Fault
from ledger.record.accepted import Accepted, accept_fields
from ledger.record.folder import Folder, Line
from ledger.record.known import Known
from ledger.record.reading import Place
from ledger.store.loaded import Difference, Loaded, differences
from ledger.store.reloading import check_lines
from ledger.store.row_changes import gone, may_be_corrected, to_type
from ledger.store.store import Store

INSTEAD = "the line as it was loaded"
NUMBER = "For another number: weighbook record number_change"


class FolderRow(NamedTuple):
    """A row of the folder, where it stands, what it is known by, and its faults if it is new."""

    stated: Accepted
    place: Place
    key: tuple[str, ...]
    if_new: Sequence[Fault]


class Comparison:
    """The folder, the ledger's rows and lines, and what else the ledger knows.

    `personal` has disclosed text by (event id, field); what was erased is not in it.
    """

    def __init__(self, store: Store, folder: Folder) -> None:
        self.folder = folder
        self.known, self.loaded = Known(), Loaded()
        for stored in store.events():
            event = stored.event
            self.known.learn(event, event.id, stored.order)
            self.loaded.learn(event)
        self.personal = {
            (row.event_id, row.field): open_disclosure(row.text).value
            for row in store.disclosures()
        }
        held = self.loaded.rows.get(("league",))
        self.zone_name = str((held or folder.league).data["time_zone"])

    def rows(self) -> Iterator[FolderRow]:
        """Every row of the folder; league.toml is the first."""
        yield FolderRow(self.folder.league, Place("league.toml"), ("league",), ())
        for placed in self.folder.rows:
            stated = placed.row.accepted()
            yield FolderRow(stated, placed.place, (stated.kind, *placed.row.key), placed.if_new)

    def vanished(self) -> list[tuple[str, ...]]:
        """The keys of rows that were loaded and that the folder no longer has."""
        there = {row.key for row in self.rows()}
        return [key for key in self.loaded.rows if key not in there]

    def differences(self, stated: Accepted, event: Event) -> list[Difference]:
        """What the row or line says differently from the event that counts for it."""
        return differences(stated, event, self.personal, self.zone_name)

    def line_faults(self) -> tuple[list[Fault], set[str]]:
        """See `ledger.store.reloading.check_lines`."""

        def differ(line: Line, event: Event) -> list[Fault]:
            found = self.differences(self._as_loaded(line, event.chain), event)
            return [one.fault(line.place, _instead(one, event)) for one in found[:1]]

        return check_lines(self.loaded, self.folder, differ, self.zone_name)

    def new_lines(self) -> list[Line]:
        """The lines that the ledger does not hold."""
        held = self.loaded.lines
        return [one for one in self.folder.lines if (one.place.file, one.record) not in held]

    def _as_loaded(self, line: Line, chain: str) -> Accepted:
        accepted = accept_fields(line.statement)
        if "target" in accepted.data:
            target = accepted.data["target"]
            accepted.data["target"] = self.known.chains[chain].refs.get(target, target)
        return accepted


def _instead(found: Difference, event: Event) -> str:
    """What a changed line should be, and the command for the change."""
    told = [INSTEAD]
    if found.key == "number" and event.kind in ("roster_add", "number_change"):
        told.append(NUMBER)
    told.append(f"To take it back: weighbook record withdraw --target {event.id}")
    return ". ".join(told)


def fault_of(row: FolderRow, found: Sequence[Difference]) -> Fault:
    """The fault of a changed row: of a key that no correction changes, if there is one."""
    kind = row.stated.kind
    told = min(found, key=lambda one: may_be_corrected(kind, one.key))
    return told.fault(row.place, to_type(kind, told.key))


def gone_fault(key: tuple[str, ...]) -> Fault:
    """The fault of a row that was loaded and is missing."""
    kind, *names = key
    found = f"no row for {' '.join(filter(None, names))}"
    return Place(f"{kind}s.csv").fault("", found, gone(kind))
