"""What people state about a case, through the same acceptance as everything else.

Nothing here refuses a fact: a ruling from outside the reviewers is recorded, and a reviewer may
be passed over. What is proposed (an id, the next reviewer, whom a ruling is about) fills only
what was not given.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from ledger.chain.event import Event
from ledger.derive.engine import Engine
from ledger.derive.scope import case_openings, read_game
from ledger.errors import FolderError, InputError, RuleError
from ledger.record.kinds import BRINGS_IN
from ledger.record.reading import Place, read_statement
from ledger.record.statements import CaseOpen, Statement
from ledger.record.times import local_date, now_utc
from ledger.review.cases import Case, look_up_case, next_after, redactions, roles_of
from ledger.store.kept_files import EXHIBIT_BYTES
from ledger.store.mentions import names_in, names_one
from ledger.store.recording import record_alone, record_statements
from ledger.store.snapshot import Snapshot
from ledger.store.store import Store

OFFICE = "office"
SURNAME_LETTERS = 5

Cells = Mapping[str, str | None]
"""What was typed, by the columns of the day files; None where nothing was."""


@dataclass(frozen=True)
class CaseWriter:
    """Where statements go: the ledger, and the zone of times without an offset.

    `chain` is None where none was named: a new case goes to the office's, a statement about a
    case to the chain in which it was opened.
    """

    store: Store
    zone: ZoneInfo
    chain: str | None = None

    def read(self, kind: str, cells: Cells) -> Statement:
        """A statement of these cells, now unless they say when; FolderError where it is none."""
        now = now_utc()
        given = {key: text for key, text in cells.items() if text}
        given = {"kind": kind, "at": now, "entered": now} | given
        statement, faults = read_statement(given, self.zone, Place())
        if statement is None:
            raise FolderError(faults)
        return statement

    def chain_of(self, case_id: str) -> str:
        """The chain to write in; InputError for an unknown case, or one that is not there."""
        chains = [event.chain for event in case_openings(self.store, case_id)]
        if self.chain not in (None, *chains):
            raise InputError(
                f"the case {case_id} was not opened in the chain {self.chain}",
                hint=f"Write where it is kept: --chain {chains[0]}.",
            )
        return self.chain or chains[0]

    def state(self, kind: str, case_id: str, cells: Cells) -> str:
        """Append one statement about the case; its event id."""
        chain = self.chain_of(case_id)
        statement = self.read(kind, {**cells, "case": case_id})
        return record_alone(Snapshot(self.store), [statement], chain=chain)[0]


@dataclass(frozen=True)
class Opened:
    """A case that was opened, and the event that opened it.

    `alike` are cases opened before for the same reason about the same game, team and player.
    """

    case_id: str
    event_id: str
    alike: tuple[str, ...]


@dataclass(frozen=True)
class HandedIn:
    """A file that was handed in: its SHA-256 (hex), its event, whether the file is kept."""

    file: Path
    sha256: str
    event_id: str
    is_kept: bool


@dataclass(frozen=True)
class Ruled:
    """A ruling: its event, whether it has authority, and what it did.

    `filled` holds the columns taken from the case's question. `before` and `after` are the
    player's rows of eligibility, None where the ruling names nobody who may play or carry.
    """

    event_id: str
    has_authority: bool
    case: Case
    filled: Mapping[str, str]
    before: Mapping[str, Any] | None
    after: Mapping[str, Any] | None


def propose_case_id(taken: Collection[str], date: str) -> str:
    """The first free one of case-DATE-1, case-DATE-2, …"""
    number = 1
    while (proposed := f"case-{date}-{number}") in taken:
        number += 1
    return proposed


def open_case(writer: CaseWriter, cells: Cells, *, case_id: str | None = None) -> Opened:
    """Open a case under this id, or under a proposed one.

    Raises InputError where the case is there already or the id names a child, FolderError for
    what is not understood.
    """
    with writer.store.writing() as writing:
        opened = {one.event.data["case"]: one for one in writer.store.events(kind=["case_open"])}
        if case_id in opened:
            hint = f"Look at it: weighbook case show {case_id}. Without an id one is proposed."
            raise InputError(
                f"the case {case_id} was opened before, by {opened[case_id].event.id}", hint=hint
            )
        _refuse_surname(writer.store, case_id or "")
        draft = writer.read("case_open", {**cells, "case": case_id or "proposed"})
        assert isinstance(draft, CaseOpen)
        date = local_date(draft.at, writer.zone.key)
        chosen = case_id or propose_case_id(opened, date)
        statement = draft.model_copy(update={"case": chosen})
        event_id = record_statements(writing, [statement], chain=writer.chain or OFFICE)[0]
        (own,) = (stored.event for stored in writer.store.events_by_id([event_id]))
    asks = _asks(own)
    alike = [case for case, one in opened.items() if _asks(one.event) == asks]
    return Opened(chosen, event_id, tuple(alike))


def _refuse_surname(store: Store, case_id: str) -> None:
    """An id is never erased. (First names and short ones are words too: "no-mark" is an id.)"""
    brought_in = [one.event for one in store.events(kind=BRINGS_IN["player"])]
    surnames = (name.split()[-1] for name in names_in(store, brought_in) if name.strip())
    if names_one(case_id, (name for name in surnames if len(name) >= SURNAME_LETTERS)):
        hint = "Ids are never erased: choose another. Without an id one is proposed."
        raise InputError(f"the id {case_id} holds a child's surname", hint=hint)


def _asks(opening: Event) -> tuple[str | None, ...]:
    return opening.data["reason"], opening.game, opening.team, opening.player


def refer_case(writer: CaseWriter, case_id: str, cells: Cells) -> tuple[str, str]:
    """Pass the case to the role `to`, or to the next reviewer: that role, and the event's id.

    RuleError where no role is given and no reviewer is left.
    """
    case = look_up_case(writer.store, case_id, with_findings=False)
    to = cells.get("to") or next_after(
        case.reviewers, roles_of(writer.store, cells["by"] or "", case.game)
    )
    if to is None:
        hint = f"Name a role with --to, or answer it: weighbook case rule {case_id}."
        raise RuleError(f"no reviewer of {case_id} is left to pass it to", hint=hint)
    return to, writer.state("case_refer", case_id, {**cells, "to": to})


def hand_in(
    writer: CaseWriter,
    case_id: str,
    files: Sequence[Path],
    cells: Cells,
    *,
    digest_only: bool = False,
) -> list[HandedIn]:
    """State these files as exhibits, all or none.

    The files are kept too, unless `digest_only`, or a redacted copy has taken their place: what
    was taken out stays out. InputError for a file that cannot be read, or is too large to keep.
    """
    chain = writer.chain_of(case_id)
    contents = {file: _content(file, digest_only) for file in dict.fromkeys(files)}
    digests = {file: sha256(content).hexdigest() for file, content in contents.items()}
    statements = [
        writer.read("case_exhibit", {**cells, "case": case_id, "value": digest})
        for digest in digests.values()
    ]
    with writer.store.writing() as writing:
        event_ids = record_statements(writing, statements, chain=chain)
        redacted = redactions(writer.store)
        done = [
            HandedIn(file, digest, event_id, not digest_only and digest not in redacted)
            for (file, digest), event_id in zip(digests.items(), event_ids, strict=True)
        ]
        for one in done:
            if one.is_kept:
                writing.keep_exhibit(one.sha256, one.file.name, contents[one.file])
    return done


def rule_case(writer: CaseWriter, case_id: str, cells: Cells, *, close: bool = False) -> Ruled:
    """State a ruling, and close the case in the same transaction where asked to.

    A ruling on who may play or carry takes game, team and player from the question where they
    were not given.
    """
    chain = writer.chain_of(case_id)
    case = look_up_case(writer.store, case_id, with_findings=False)
    filled = _from_question(case, cells)
    ruling = writer.read("ruling", {**cells, **filled, "case": case_id})
    closing = {key: cells.get(key) for key in ("at", "entered", "by")}
    more = [writer.read("case_close", closing | {"case": case_id})] if close else []
    with writer.store.writing() as writing:
        event_id = record_statements(writing, [ruling, *more], chain=chain)[0]
    after = look_up_case(writer.store, case_id, with_findings=False)
    entry = next(entry for entry in after.timeline if entry.event_id == event_id)
    rows = _effect(writer.store, event_id, getattr(ruling, "game", None)) if _names(cells) else None
    before_row, after_row = rows or (None, None)
    return Ruled(event_id, bool(entry.has_authority), after, filled, before_row, after_row)


def _names(cells: Cells) -> bool:
    """Whether the ruling says who may play or carry."""
    return bool(cells.get("may_play") or cells.get("may_carry"))


def _from_question(case: Case, cells: Cells) -> dict[str, str]:
    filled: dict[str, str] = {}
    if not _names(cells):
        return filled
    for key, theirs in (("game", case.game), ("team", case.team)):
        if theirs is None or cells.get(key) not in (None, theirs):
            return filled
        if not cells.get(key):
            filled[key] = theirs
    if case.player and not cells.get("player") and not cells.get("number"):
        filled["player"] = case.player
    return filled


def _effect(
    store: Store, event_id: str, game: str | None
) -> tuple[Mapping[str, Any] | None, Mapping[str, Any] | None]:
    """The ruled player's eligibility without this ruling and with it."""
    stored = read_game(store, str(game))
    ruling = next(one.event for one in stored if one.event.id == event_id)

    def row(without: str | None) -> Mapping[str, Any] | None:
        engine = Engine(one for one in stored if one.event.id != without)
        rows = engine.answer("eligibility", game=game).dicts()
        own = [r for r in rows if (r["team"], r["player"]) == (ruling.team, ruling.player)]
        return own[0] if own else None

    return row(event_id), row(None)


def _content(file: Path, digest_only: bool) -> bytes:
    try:
        content = file.read_bytes()
    except OSError as error:
        raise InputError(
            f"{file}: this file cannot be read ({error.strerror})",
            hint="Nothing was written. Give the path of the file that is handed in.",
        ) from error
    if len(content) > EXHIBIT_BYTES and not digest_only:
        raise InputError(
            f"{file}: {len(content):,} bytes are too many to keep",
            hint=f"Up to {EXHIBIT_BYTES:,} are kept; --digest-only states it without keeping it.",
        )
    return content
