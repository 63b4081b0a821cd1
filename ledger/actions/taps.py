"""Record acts that come in by themselves: several in one transaction, each accepted alone.

An act is what one tap states: entries that are recorded all or none. Each entry has a `ref` that
was made where someone tapped, so that an act that comes twice is recorded once. What two acts say
is compared, not when they were sent; of a personal text that was erased, only that there was one.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from zoneinfo import ZoneInfo

from ledger.actions.asking import ACTING, ask_about
from ledger.actions.entries import ACTS, Cells, given
from ledger.chain.disclosure import open_disclosure
from ledger.chain.event import Event
from ledger.errors import Fault, FolderError, InputError, LedgerError, RuleError, count_of
from ledger.record.accepted import accept_fields
from ledger.record.questions import questions_of
from ledger.record.reading import entry_place, read_statement
from ledger.record.statements import Statement
from ledger.record.times import moment_of, now_utc
from ledger.store.grouping import Group, grouping
from ledger.store.snapshot import Snapshot
from ledger.store.store import Store

CLOCK_MAY_DIFFER = timedelta(seconds=60)
_CLOCK_NOTE = re.compile(r" ?The device's clock was [0-9,]+ minutes? (?:ahead|behind)\.\Z")
_ONLY_SIGNED = ("countersign", *ACTS)


@dataclass(frozen=True)
class Tap:
    """An act that was read: its statements, each with its ref."""

    statements: tuple[Statement, ...]


@dataclass(frozen=True)
class Tapped:
    """The events of an act. `recorded`: the ledger's clock; `is_new`: it was not there before."""

    event_ids: tuple[str, ...]
    recorded: str
    is_new: bool


class DiffersError(RuleError):
    """An entry with this ref is already recorded, and says something else."""

    def __init__(self, ref: str, event_id: str) -> None:
        self.ref, self.event_id = ref, event_id
        hint = "Nothing was recorded. Look at both, and enter the right one again."
        super().__init__(f"{ref} is already recorded as {event_id}, with other content", hint=hint)


def read_tap(entries: Sequence[Cells], local: ZoneInfo, *, fine: bool = False) -> Tap:
    """Read the entries of an act; `entered` is when it was tapped (`at`), unless a cell says it.

    FolderError with every fault. Asks about texts unless they are `fine`. InputError for a kind
    that someone has to sign.
    """
    now = now_utc()
    statements: list[Statement] = []
    faults: list[Fault] = []
    for number, cells in enumerate(entries, 1):
        own = {"at": now} | given(cells)
        own.setdefault("entered", own["at"])
        if own.get("kind") in _ONLY_SIGNED:
            hint = "Nothing was recorded. It has a page of its own."
            raise InputError(f"{own['kind']} is signed, not tapped", hint=hint)
        statement, more = read_statement(own, local, entry_place(number, len(entries)))
        statements += [statement] if statement else []
        faults += more
    if faults:
        raise FolderError(faults)
    if not fine:
        ask_about([one for said in statements for one in questions_of(said)], ACTING)
    return Tap(tuple(statements))


def with_clock_note(tap: Tap, off: timedelta) -> Tap:
    """The act with a note on each entry that the device's clock was this far ahead, or behind."""
    minutes = max(1, round(abs(off) / timedelta(minutes=1)))
    where = "ahead" if off > timedelta(0) else "behind"
    said = f"The device's clock was {count_of(minutes, 'minute')} {where}."
    return Tap(
        tuple(
            one.model_copy(update={"note": f"{one.note} {said}" if one.note else said})
            for one in tap.statements
        )
    )


class Recorder:
    """Records acts into one chain, with a snapshot of the ledger kept warm. For one thread."""

    def __init__(self, store: Store, chain: str) -> None:
        self.store = store
        self.chain = chain
        self._snapshot = Snapshot(store)

    def record(self, taps: Sequence[Tap]) -> list[Tapped | LedgerError]:
        """Record these acts in this order, in one transaction. Returns what became of each.

        An act is refused by itself, with InputError or DiffersError. StoreError if nothing could
        be written: then nothing was.
        """
        with grouping(self._snapshot, self.chain) as group:
            return [_record(group, tap) for tap in taps]


def _record(group: Group, tap: Tap) -> Tapped | LedgerError:
    try:
        before = [group.with_ref(one.ref) if one.ref else None for one in tap.statements]
        if any(before):
            return _again(group, tap, before)
        return Tapped(tuple(group.add(tap.statements)), group.writing.recorded, is_new=True)
    except (InputError, RuleError) as error:
        return error


def _again(group: Group, tap: Tap, before: Sequence[str | None]) -> Tapped:
    """The act as it was recorded before; DiffersError if that says something else."""
    store = group.writing.store
    ids = [event_id for event_id in before if event_id]
    texts = {(row.event_id, row.field): row.text for row in store.disclosures(ids)}
    for statement, event_id in zip(tap.statements, before, strict=True):
        if event_id is None:
            raise DiffersError(str(tap.statements[0].ref), ids[0])
        event = store.event(event_id)
        kept = {
            key: open_disclosure(texts[event_id, key]).value
            for key in event.data.get("digests", {})
            if (event_id, key) in texts
        }
        if not _says_the_same(group, statement, event, kept):
            raise DiffersError(str(statement.ref), event_id)
    return Tapped(tuple(ids), store.event(ids[-1]).recorded, is_new=False)


def _says_the_same(group: Group, new: Statement, old: Event, kept: dict[str, str]) -> bool:
    said = accept_fields(new)
    data = dict(said.data)
    if "target" in data:
        data["target"] = group.with_ref(data["target"]) or data["target"]
    texts = _without_clock(said.personal)
    digests = old.data.get("digests", {})
    before = {key: value for key, value in old.data.items() if key != "digests"}
    ours = (said.kind, said.at, said.by, said.game, said.team, data)
    if ours != (old.kind, old.at, old.by, old.game, old.team, before):
        return False
    if said.player is not None and said.player != old.player:
        return False
    held, erased = _without_clock(kept), digests.keys() - kept.keys()
    return (
        all(key in erased or held.get(key) == text for key, text in texts.items())
        and held.keys() <= texts.keys()
        and erased - {"note"} <= texts.keys()  # a note may have been about the clock alone
    )


def _without_clock(texts: dict[str, str]) -> dict[str, str]:
    """These texts without what the server said about the device's clock."""
    note = _CLOCK_NOTE.sub("", texts.get("note", ""))
    return {key: text for key, text in (texts | {"note": note}).items() if text}


def clock_off(clock: str, now: str) -> timedelta:
    """How far a device's clock is ahead of the ledger's; 0 if less than a minute."""
    off = moment_of(clock) - moment_of(now)
    return off if abs(off) > CLOCK_MAY_DIFFER else timedelta(0)
