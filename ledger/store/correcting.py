"""Correct rows of the tables and keys of league.toml: find what changed, and append it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

from ledger.chain.event import Event
from ledger.errors import Fault, FolderError, InputError, count_of
from ledger.record.accepted import Accepted
from ledger.record.authority import CORRECTORS
from ledger.record.corrections import row_of
from ledger.record.folder import Folder
from ledger.record.reading import Place
from ledger.store.acts import Signer, append_act, check_may
from ledger.store.chains import begin_chain
from ledger.store.comparing import Comparison, FolderRow, fault_of, gone_fault
from ledger.store.league import first_league
from ledger.store.loaded import Difference
from ledger.store.row_changes import may_be_corrected
from ledger.store.store import Store, Writing

VERB = "correct a table"
_LATER = "only lines loaded before. Load new lines first, with the tables as they were"


@dataclass(frozen=True)
class Correction:
    """A row as it should have been: where it stands, the id of the event that brought it in, and
    what changes, each as a text."""

    stated: Accepted
    place: Place
    corrects: str
    changes: tuple[Difference, ...]

    def as_event(self, *, by: str, reason: str, entered: str) -> Accepted:
        """The body of its event."""
        stated = self.stated
        return replace(
            stated,
            data=stated.data | {"corrects": self.corrects},
            personal=stated.personal | {"reason": reason},
            by=by,
            entered=entered,
        )


@dataclass(frozen=True)
class Corrections:
    """What a folder corrects, and the number of its rows that the ledger does not hold yet."""

    rows: tuple[Correction, ...]
    new_rows: int


def find_corrections(store: Store, folder: Folder) -> Corrections:
    """The rows of the folder that say something else than the ledger.

    FolderError for a change that is no correction, InputError if nothing changed.
    """
    compared = Comparison(store, folder)
    held = compared.loaded.rows
    faults: list[Fault] = []
    found: list[Correction] = []
    new = [row for row in compared.rows() if row.key not in held]
    for row in compared.rows():
        if row.key in held and (changes := compared.differences(row.stated, held[row.key])):
            found.append(_correction(row, held[row.key], changes))
            faults += _refused(compared, row, held[row.key], changes)
    for gone, line in _other_lines(compared.vanished(), new):
        if line is None:
            faults.append(gone_fault(gone))
            continue
        new.remove(line)
        changes = compared.differences(line.stated, held[gone])
        found.append(_correction(line, held[gone], changes))
        faults += _refused(compared, line, held[gone], changes)
    more, stopped = compared.line_faults()
    faults += [*more, *_new_lines(compared, stopped)]
    if faults:
        raise FolderError(faults)
    if not found:
        hint = "Change the row in the folder, then run the same command again."
        raise InputError("nothing to correct: every row is as the ledger has it", hint=hint)
    return Corrections(tuple(found), len(new))


def append_corrections(
    writing: Writing,
    corrections: Sequence[Correction],
    *,
    by: str,
    reason: str,
    chain: str,
    signer: Signer | None = None,
) -> list[str]:
    """Append these corrections, entered now; their event ids. A `signer` signs each.

    RuleError unless `by` may correct a table.
    """
    store = writing.store
    check_may(store, by, VERB, CORRECTORS)
    begin_chain(writing, chain, first_league(store))
    return [
        append_act(
            writing,
            one.as_event(by=by, reason=reason, entered=writing.recorded),
            chain=chain,
            signer=signer,
        )
        for one in corrections
    ]


def _correction(row: FolderRow, event: Event, changes: Sequence[Difference]) -> Correction:
    return Correction(row.stated, row.place, row_of(event, event.id), tuple(changes))


def _other_lines(
    vanished: Sequence[tuple[str, ...]], new: Sequence[FolderRow]
) -> list[tuple[tuple[str, ...], FolderRow | None]]:
    """Each vanished row with the new line that corrects it: of the same official, if both have
    only one."""
    lines: defaultdict[tuple[str, ...], list[FolderRow]] = defaultdict(list)
    for row in new:
        lines[row.key[:2]].append(row)
    pairs: list[tuple[tuple[str, ...], FolderRow | None]] = []
    for key in vanished:
        mine = lines[key[:2]] if key[0] == "official" else []
        is_only = len(mine) == 1 and sum(other[:2] == key[:2] for other in vanished) == 1
        pairs.append((key, mine[0] if is_only else None))
    return pairs


def _refused(
    compared: Comparison, row: FolderRow, event: Event, changes: Sequence[Difference]
) -> list[Fault]:
    if not all(may_be_corrected(row.stated.kind, one.key) for one in changes):
        return [fault_of(row, changes)]
    if "name" in event.data.get("digests", {}) and (event.id, "name") not in compared.personal:
        right = "the row as loaded: its name was erased, and a correction would keep it again"
        return [changes[0].fault(row.place, right)]
    if row.stated.kind == "official" and row.stated.team not in {None, *compared.known.teams}:
        found = f"'{row.stated.team}', which the ledger does not hold yet"
        right = "a team loaded before. Load the team first, with this line as it was"
        return [row.place.fault("team", found, right)]
    columns = {one.column for one in changes}
    return [fault for fault in row.if_new if fault.column in columns]


def _new_lines(compared: Comparison, stopped: set[str]) -> list[Fault]:
    """One fault for each day file with new lines."""
    counts: dict[str, int] = {}
    places: dict[str, Place] = {}
    for line in compared.new_lines():
        file = line.place.file
        if file not in stopped:
            counts[file] = counts.get(file, 0) + 1
            places.setdefault(file, line.place)
    return [
        places[file].fault("", count_of(count, "new line"), _LATER)
        for file, count in counts.items()
    ]
