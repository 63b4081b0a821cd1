"""Record entries: one, several as one act, or from paper; take an act back; correct it.

Entries of one act are recorded in one transaction, all or none. The ledger has no field for acts:
an act is the event ids that `record` returned. The front end keeps them for `take_back` or
`correct`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from ledger.actions.asking import ACTING, Act, Acting, act_of, ask_about, signer_of
from ledger.actions.closing import before_closing
from ledger.actions.closing_season import ask_before_season_close
from ledger.errors import Fault, FolderError, InputError, RuleError
from ledger.record.questions import questions_of
from ledger.record.reading import entry_place, read_statement
from ledger.record.statements import Statement
from ledger.record.times import FORM, now_utc, zone
from ledger.record.typed_times import RIGHT
from ledger.record.withdrawals import withdrawn
from ledger.store.acts import check_may
from ledger.store.league import league_zone
from ledger.store.recording import record_alone, record_statement
from ledger.store.snapshot import Snapshot
from ledger.store.store import Store
from ledger.store.withdrawals import with_withdrawals

Cells = Mapping[str, str | None]
"""What people typed, by column of the day files; None or "" for nothing."""

ACTS = {"season_close": "close the season"}
"""Kinds that need a role when recorded here; in a day file they are a fact like any other."""


@dataclass(frozen=True)
class Recorded:
    """One act: the ids of its events, in the order of the entries.

    `act` says whether a key signed it; None if it needs no role.
    """

    event_ids: tuple[str, ...]
    act: Act | None = None


class TakeBackError(RuleError):
    """An act that cannot be taken back; `event_ids` are the entries that prevent it."""

    def __init__(self, message: str, event_ids: Sequence[str], *, hint: str) -> None:
        super().__init__(message, hint=hint)
        self.event_ids = tuple(event_ids)


def given(cells: Cells) -> dict[str, str]:
    """Return the cells that are not empty."""
    return {column: text for column, text in cells.items() if text}


def read_entries(store: Store, entries: Sequence[Cells]) -> list[Statement]:
    """Read these cells into statements, as of now unless they say when.

    FolderError with every fault; with several entries, each fault names its own: "entry 2".
    """
    local, now = zone(league_zone(store)), now_utc()
    statements: list[Statement] = []
    faults: list[Fault] = []
    for number, cells in enumerate(entries, 1):
        own = {"at": now, "entered": now} | given(cells)
        statement, more = read_statement(own, local, entry_place(number, len(entries)))
        statements += [statement] if statement else []
        faults += map(_as_typed, more)
    if faults:
        raise FolderError(faults)
    return statements


def _as_typed(fault: Fault) -> Fault:
    """A time is typed in more forms than day files have, and no spreadsheet rewrote it."""
    return replace(fault, right=RIGHT) if fault.right.startswith(FORM) else fault


def record(
    store: Store,
    entries: Sequence[Cells],
    acting: Acting = ACTING,
    snapshot: Snapshot | None = None,
) -> Recorded:
    """Record these entries as one act. Each has its `kind` and `by`; at and entered default to now.

    A long-lived process keeps `snapshot` warm. Raises FolderError for entries that cannot be read
    or accepted. An entry of `ACTS` is recorded alone; RuleError if `by` may not do it. Asks about
    texts, and for the passphrase of the official who signs an act.
    """
    return append_entries(store, read_entries(store, entries), acting, snapshot)


def take_back(
    store: Store, event_ids: Sequence[str], *, by: str, reason: str, acting: Acting = ACTING
) -> Recorded:
    """Withdraw every entry of an act, in one transaction; the withdrawals are an act too.

    Taking that back restores the entries. By default withdrawals go to the act's own chain. Raises
    InputError for an unknown event; TakeBackError if entries are another author's (only that
    author or a ruling can undo them) or were taken back before.
    """
    return correct(store, event_ids, [], by=by, reason=reason, acting=acting)


def correct(
    store: Store,
    event_ids: Sequence[str],
    entries: Sequence[Cells],
    *,
    by: str,
    reason: str,
    acting: Acting = ACTING,
) -> Recorded:
    """Record these entries and withdraw the act they replace, in one transaction.

    `event_ids` of the result: the entries, then the withdrawals. Raises what `take_back` and
    `record` do.
    """
    ids = list(dict.fromkeys(event_ids))
    if not ids:
        raise InputError("no entries to take back", hint="Name at least one event.")
    _check_own(store, ids, by)
    own = {"kind": "withdraw", "by": by, "reason": reason}
    withdrawals = [own | {"target": event_id} for event_id in ids]
    statements = read_entries(store, [*entries, *withdrawals])
    if acting.chain is None:
        acting = replace(acting, chain=ids[0].partition(":")[0])
    return append_entries(store, statements, acting)


def append_entries(
    store: Store,
    statements: Sequence[Statement],
    acting: Acting = ACTING,
    snapshot: Snapshot | None = None,
) -> Recorded:
    """Record these statements; see `record`."""
    chain = acting.writes_to
    acts = [one for one in statements if one.kind in ACTS]
    if acts and len(statements) > 1:
        hint = "Nothing was written. Record it alone, so that the official can sign it."
        raise InputError(f"{acts[0].kind} cannot be recorded with other entries", hint=hint)
    for act in acts:
        check_may(store, act.by, ACTS[act.kind])
    ask_about([q for one in statements for q in questions_of(one)], acting)
    statements = before_closing(store, statements, acting)
    for act in acts:
        is_open = ask_before_season_close(store, acting)
        kept = {"despite": list(is_open)} if is_open else {}
        signer = signer_of(store, act.by, acting)
        with store.writing() as writing:
            event_id = record_statement(writing, act, chain=chain, signer=signer, kept=kept)
        return Recorded((event_id,), act_of(store, event_id))
    return Recorded(tuple(record_alone(snapshot or Snapshot(store), statements, chain=chain)))


def _check_own(store: Store, ids: Sequence[str], by: str) -> None:
    events = [stored.event for stored in store.events_by_id(ids)]
    theirs = {event.id: event.by or "set-up" for event in events if event.by != by}
    if theirs:
        whose = ", ".join(f"{event_id} ({author})" for event_id, author in theirs.items())
        hint = "Nothing was withdrawn. Only its author can take an entry back."
        raise TakeBackError(f"not entries of {by}: {whose}", list(theirs), hint=hint)
    later = [event for event in with_withdrawals(store, events) if event.kind == "withdraw"]
    gone = withdrawn((event.id, event.data["target"]) for event in later)
    if before := [event_id for event_id in ids if event_id in gone]:
        hint = "Nothing was withdrawn. These entries no longer count."
        raise TakeBackError(f"taken back before: {', '.join(before)}", before, hint=hint)
