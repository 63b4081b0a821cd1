"""Actions on a case: open, refer, add, hand in, rule, close.

Nothing here refuses a fact: anyone's ruling is recorded, and a reviewer may be skipped. Proposals
(an id, the next reviewer, the child a ruling is about) fill only what was not given. A statement
about a case goes to the chain in which the case was opened.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from typing import Any

from ledger.actions.asking import ACTING, Acting, ask_about
from ledger.actions.entries import Cells, append_entries, given, read_entries
from ledger.chain.event import Event
from ledger.derive.asked import refuse_unknown
from ledger.derive.engine import Engine
from ledger.derive.scope import case_openings, read_game, read_season
from ledger.errors import InputError, RuleError
from ledger.record.kinds import BRINGS_IN
from ledger.record.questions import question_about
from ledger.record.statements import CaseOpen, Statement
from ledger.record.times import local_date
from ledger.review.cases import Case, look_up_case, next_after, roles_of
from ledger.review.routes import Route, propose_route, question_of_finding
from ledger.store.erasure import redactions
from ledger.store.kept_files import EXHIBIT_BYTES
from ledger.store.league import league_zone
from ledger.store.mentions import names_in, names_one
from ledger.store.recording import record_statements
from ledger.store.store import Store

SURNAME_LETTERS = 5


@dataclass(frozen=True)
class Opened:
    """An opened case, its event, and the route to its reviewers.

    `alike` are earlier cases with the same reason, game, team and player.
    """

    event_id: str
    case: Case
    route: Route
    alike: tuple[str, ...]


@dataclass(frozen=True)
class Said:
    """A statement about a case: its event, and the case after it."""

    event_id: str
    case: Case


@dataclass(frozen=True)
class Referred(Said):
    """A case that was passed to a role. `passed_over` are the reviewers it skipped."""

    role: str
    passed_over: tuple[str, ...]


@dataclass(frozen=True)
class Closed(Said):
    """A closed case; `before` is the event that had closed it earlier, if any."""

    before: str | None


@dataclass(frozen=True)
class GivenFile:
    """A file to hand in."""

    name: str
    content: bytes


@dataclass(frozen=True)
class HandedIn:
    """A file that was handed in: its SHA-256 (hex), its event, and whether it is kept."""

    name: str
    sha256: str
    event_id: str
    is_kept: bool


@dataclass(frozen=True)
class Ruled(Said):
    """A ruling: whether it has authority, and its effect.

    `filled` contains the columns taken from the case's question. `before` and `after` are the
    player's rows of eligibility, None if the ruling decides nothing about playing or carrying.
    """

    has_authority: bool
    filled: Mapping[str, str]
    before: Mapping[str, Any] | None
    after: Mapping[str, Any] | None


def propose_case_id(taken: Collection[str], date: str) -> str:
    """Return the first free id of case-DATE-1, case-DATE-2, …"""
    number = 1
    while (proposed := f"case-{date}-{number}") in taken:
        number += 1
    return proposed


def open_case(
    store: Store,
    cells: Cells,
    *,
    case_id: str | None = None,
    rule: str | None = None,
    acting: Acting = ACTING,
) -> Opened:
    """Open a case under this id or a proposed one, by default in the office's chain.

    With `rule`, a finding of this rule fills in reason, game, team, player and note. Raises
    InputError if the case exists, the id names a child, there is no reason, or not exactly one
    such finding; FolderError for cells that cannot be read. Asks about the note.
    """
    ask_about(question_about("note", cells.get("note")), acting)
    if rule:
        cells = _from_finding(store, rule, cells)
    if not cells.get("reason"):
        hint = "Use --reason, or --from-finding RULE. weighbook findings lists the rules."
        raise InputError("no reason was given", hint=hint)
    with store.writing() as writing:
        opened = {one.event.data["case"]: one for one in store.events(kind=["case_open"])}
        if case_id in opened:
            hint = f"See weighbook case show {case_id}. To get a new id, leave it out."
            before = opened[case_id].event.id
            raise InputError(f"case {case_id} was opened before, by {before}", hint=hint)
        _refuse_surname(store, case_id or "")
        (draft,) = _read(store, case_id or "proposed", ["case_open"], cells)
        assert isinstance(draft, CaseOpen)
        chosen = case_id or propose_case_id(opened, local_date(draft.at, league_zone(store)))
        statement = draft.model_copy(update={"case": chosen})
        (event_id,) = record_statements(writing, [statement], chain=acting.writes_to)
    own = store.event(event_id)
    alike = [name for name, one in opened.items() if _asks(one.event) == _asks(own)]
    case = _after(store, chosen)
    route = propose_route(case.reason, [reviewer.role for reviewer in case.reviewers])
    return Opened(event_id, case, route, tuple(alike))


def refer_case(store: Store, case_id: str, cells: Cells, acting: Acting = ACTING) -> Referred:
    """Pass the case to the role `to`, or to the next reviewer.

    RuleError if no role is given and no reviewer is left. Asks about the note.
    """
    case = _after(store, case_id)
    by = cells.get("by") or ""
    to = cells.get("to") or next_after(case.reviewers, roles_of(store, by, case.game))
    if to is None:
        hint = f"Name a role with --to, or rule on it: weighbook case rule {case_id}."
        raise RuleError(f"no reviewer of {case_id} is left to pass it to", hint=hint)
    event_id = _state(store, case_id, "case_refer", {**cells, "to": to}, acting)
    after = _after(store, case_id)
    is_reviewer = to in [one.role for one in after.reviewers]
    return Referred(event_id, after, to, after.skipped if is_reviewer else ())


def add_to_case(store: Store, case_id: str, cells: Cells, acting: Acting = ACTING) -> Said:
    """Add what someone says about a case, in `note`; InputError if that is empty."""
    if not (cells.get("note") or "").strip():
        raise InputError("nothing was said", hint="Put the words in --note TEXT.")
    event_id = _state(store, case_id, "case_statement", cells, acting)
    return Said(event_id, _after(store, case_id))


def close_case(store: Store, case_id: str, cells: Cells, acting: Acting = ACTING) -> Closed:
    """Close a case; entries can still follow. Asks about the note."""
    event_id = _state(store, case_id, "case_close", cells, acting)
    after = _after(store, case_id)
    closings = [one for one in after.timeline if one.kind == "case_close" and not one.withdrawn_by]
    return Closed(event_id, after, closings[0].event_id if len(closings) > 1 else None)


def hand_in(
    store: Store,
    case_id: str,
    files: Sequence[GivenFile],
    cells: Cells,
    *,
    digest_only: bool = False,
    acting: Acting = ACTING,
) -> list[HandedIn]:
    """Record these files as exhibits, all or none.

    The files are kept too, unless `digest_only`, or unless a redacted copy has replaced one.
    InputError for a file too large to keep. Asks about the note and the names of kept files.
    """
    chain = _chain_of(store, case_id, acting)
    digests = {file: sha256(file.content).hexdigest() for file in files}
    kept = () if digest_only else tuple(digests)
    for file in kept:
        if len(file.content) > EXHIBIT_BYTES:
            hint = f"The limit is {EXHIBIT_BYTES:,}. --digest-only records it without keeping it."
            message = f"{file.name}: {len(file.content):,} bytes are too many to keep"
            raise InputError(message, hint=hint)
    named = [q for file in kept for q in question_about("file name", file.name)]
    ask_about([*question_about("note", cells.get("note")), *named], acting)
    statements = [
        statement
        for digest in digests.values()
        for statement in _read(store, case_id, ["case_exhibit"], {**cells, "value": digest})
    ]
    with store.writing() as writing:
        event_ids = record_statements(writing, statements, chain=chain)
        redacted = redactions(store)
        done = [
            HandedIn(file.name, digest, event_id, not digest_only and digest not in redacted)
            for (file, digest), event_id in zip(digests.items(), event_ids, strict=True)
        ]
        for one, file in zip(done, digests, strict=True):
            if one.is_kept:
                writing.keep_exhibit(one.sha256, one.name, file.content)
    return done


def rule_case(
    store: Store, case_id: str, cells: Cells, *, close: bool = False, acting: Acting = ACTING
) -> Ruled:
    """Record a ruling and, if `close`, close the case in the same transaction.

    A ruling on who may play or carry takes game, team and player from the question if they are
    not given. Asks about the note.
    """
    acting = replace(acting, chain=_chain_of(store, case_id, acting))
    filled = _from_question(_after(store, case_id), cells)
    statements = _read(store, case_id, ["ruling"], {**cells, **filled})
    if close:
        closing = {key: cells.get(key) for key in ("at", "entered", "by")}
        statements += _read(store, case_id, ["case_close"], closing)
    event_id = append_entries(store, statements, acting).event_ids[0]
    after = _after(store, case_id)
    entry = next(entry for entry in after.timeline if entry.event_id == event_id)
    game = getattr(statements[0], "game", None)
    before_row, after_row = _effect(store, event_id, game) if _names(cells) else (None, None)
    return Ruled(event_id, after, bool(entry.has_authority), filled, before_row, after_row)


def _read(store: Store, case_id: str, kinds: Sequence[str], cells: Cells) -> list[Statement]:
    return read_entries(store, [{**cells, "kind": kind, "case": case_id} for kind in kinds])


def _state(store: Store, case_id: str, kind: str, cells: Cells, acting: Acting) -> str:
    """Append one statement about the case and return its event id."""
    own = replace(acting, chain=_chain_of(store, case_id, acting))
    return append_entries(store, _read(store, case_id, [kind], cells), own).event_ids[0]


def _chain_of(store: Store, case_id: str, acting: Acting) -> str:
    """Return the chain to write in; InputError for an unknown case, or one in another chain."""
    chains = [event.chain for event in case_openings(store, case_id)]
    if acting.chain not in (None, *chains):
        hint = f"Use the case's own chain: --chain {chains[0]}."
        raise InputError(f"case {case_id} was not opened in chain {acting.chain}", hint=hint)
    return acting.chain or chains[0]


def _after(store: Store, case_id: str) -> Case:
    return look_up_case(store, case_id, with_findings=False)


def _from_finding(store: Store, rule: str, cells: Cells) -> Cells:
    """Return the cells, with the gaps filled from the finding."""
    game, number = cells.get("game"), cells.get("number")
    refuse_unknown(store, game=game, team=cells.get("team"))
    question = question_of_finding(
        Engine(read_game(store, game) if game else read_season(store)),
        rule,
        game=game,
        team=cells.get("team"),
        player=cells.get("player"),
        number=int(number) if number and number.isdecimal() else None,
    )
    found = {"game": question.game, "team": question.team, "reason": question.reason}
    found["player"] = None if number else question.player
    note = " ".join(part for part in (cells.get("note"), question.note) if part)
    return found | given(cells) | {"note": note}


def _refuse_surname(store: Store, case_id: str) -> None:
    """Ids are never erased. First names and short ones are words too: "no-mark" is an id."""
    brought_in = [one.event for one in store.events(kind=BRINGS_IN["player"])]
    surnames = (name.split()[-1] for name in names_in(store, brought_in) if name.strip())
    if names_one(case_id, (name for name in surnames if len(name) >= SURNAME_LETTERS)):
        hint = "Ids are never erased. Choose another, or leave it out to get one."
        raise InputError(f"the id {case_id} contains a child's surname", hint=hint)


def _asks(opening: Event) -> tuple[str | None, ...]:
    return opening.data["reason"], opening.game, opening.team, opening.player


def _names(cells: Cells) -> bool:
    """Whether the ruling decides who may play or carry."""
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
    """Return the player's eligibility without this ruling, and with it."""
    stored = read_game(store, str(game))
    ruling = next(one.event for one in stored if one.event.id == event_id)

    def row(without: str | None) -> Mapping[str, Any] | None:
        engine = Engine(one for one in stored if one.event.id != without)
        rows = engine.answer("eligibility", game=game).dicts()
        own = [r for r in rows if (r["team"], r["player"]) == (ruling.team, ruling.player)]
        return own[0] if own else None

    return row(event_id), row(None)
