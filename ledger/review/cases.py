"""A case: a question, what people said about it, who reviews it, and what is due when.

A case accuses nobody. Reviewers get it in the league's order (`[reviews]` of league.toml). One may
be skipped; the case shows it. No names here; what people wrote comes from the disclosures.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from ledger.chain.event import Event
from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.scope import read_case, read_cases, read_official
from ledger.derive.statements import all_statements
from ledger.errors import InputError
from ledger.record.times import now_utc
from ledger.review.timeline import is_erased, said_in
from ledger.review.touching import Touched, touching
from ledger.store.erasure import redactions
from ledger.store.store import Store

Standing = Literal["ruled", "heard", "referred", "skipped", "not_yet"]


@dataclass(frozen=True)
class Entry:
    """A statement about a case, in the answer's words; times are UTC text.

    `said` is the note, None if there is none or it `is_erased`. `has_authority` is None except for
    a ruling that counts. `is_role_later`: the ledger learned of the role only after the ruling.
    """

    event_id: str
    kind: str
    happened_at: str
    entered_at: str
    recorded_at: str
    by: str
    roles: tuple[str, ...]
    capacity: str
    what: str
    value: str | None
    to_role: str | None
    has_authority: bool | None
    is_role_later: bool
    withdrawn_by: str | None
    said: str | None
    is_erased: bool


@dataclass(frozen=True)
class Reviewer:
    """A role in the league's order, and how far the case has come with it.

    ruled: someone in the role ruled; heard: someone said or did something else (opening does not
    count); referred: the case was passed to the role; skipped: a later reviewer had it; not_yet:
    none of these.
    """

    role: str
    standing: Standing


@dataclass(frozen=True)
class Exhibit:
    """A file that was handed in, by its SHA-256 (hex).

    `copy_sha256` is the digest of its redacted copy, if any. `kept_as` is the name of the kept
    file or copy, None if the ledger keeps only the digest.
    """

    sha256: str
    event_id: str
    by: str
    kept_as: str | None
    copy_sha256: str | None


@dataclass(frozen=True)
class Case:
    """A case as of a moment; the first columns are those of sql/answers/cases.sql."""

    case_id: str
    reason: str
    question: str
    game: str | None
    team: str | None
    player: str | None
    number: int | None
    opened_at: str
    opened_by: str
    state: Literal["open", "ruled", "closed", "withdrawn"]
    with_role: str | None
    due_at: str | None
    answered_at: str | None
    is_overdue: bool
    is_time_over: bool
    ruling: str | None
    protest_due_at: str | None
    is_protest_late: bool | None
    reviewers: tuple[Reviewer, ...]
    next_reviewer: str | None
    timeline: tuple[Entry, ...]
    exhibits: tuple[Exhibit, ...]
    findings: tuple[Mapping[str, Any], ...]

    @property
    def opening(self) -> Entry:
        """The first opening that counts, or the first of all if all were withdrawn."""
        asked = [one for one in self.timeline if one.kind == "case_open" and not one.withdrawn_by]
        return asked[0] if asked else self.timeline[0]

    @property
    def skipped(self) -> tuple[str, ...]:
        """The skipped reviewers, in order."""
        return tuple(one.role for one in self.reviewers if one.standing == "skipped")

    def has_passed_on(self, role: str) -> bool:
        """Whether someone in this role passed the case on."""
        return any(
            one.kind == "case_refer" and role in one.roles and not one.withdrawn_by
            for one in self.timeline
        )


def list_cases(
    store: Store, *, as_of: str | None = None, known_at: str | None = None
) -> tuple[tuple[str, ...], list[dict[str, Any]]]:
    """Return columns and rows of every case, as in sql/answers/cases.sql."""
    stored = read_cases(store, as_of=as_of, known_at=known_at)
    answer = Engine(stored, as_of=as_of, known_at=known_at).answer("cases")
    return answer.columns, answer.dicts()


def look_up_case(
    store: Store,
    case_id: str,
    *,
    as_of: str | None = None,
    known_at: str | None = None,
    now: str | None = None,
    with_findings: bool = True,
) -> Case:
    """Return the case as of these moments; its findings take longest and may be left out.

    `now` (UTC text; default: as_of, known_at or the clock) decides whether the time to answer is
    over. Raises InputError for an unknown case, or one that was not open yet by then.
    """
    stored = read_case(store, case_id, as_of=as_of, known_at=known_at)
    engine = Engine(stored, as_of=as_of, known_at=known_at)
    events = {one.id: one.event for one in stored}
    now = now or as_of or known_at or now_utc()
    return case_in(store, engine, events, case_id, now=now, with_findings=with_findings)


def case_in(
    store: Store,
    engine: Engine,
    events: Mapping[str, Event],
    case_id: str,
    *,
    now: str,
    with_findings: bool = True,
) -> Case:
    """Return the case as the engine has it; `events` are the engine's, by id."""
    rows = [row for row in engine.answer("cases").dicts() if row["case_id"] == case_id]
    if not rows:
        hint = "Ask for a later moment, or without --as-of and --known-at."
        raise InputError(f"case {case_id} was not open yet by then", hint=hint)
    row = rows[0]
    entries = [r for r in engine.answer("case_timeline").dicts() if r["case_id"] == case_id]
    timeline = _entries(store, entries, events)
    reviewers = _standings(row.pop("reviewers"), timeline)
    is_waiting = row["state"] == "open" and row["due_at"] is not None
    return Case(
        **row,
        is_time_over=is_waiting and now > row["due_at"],
        reviewers=reviewers,
        next_reviewer=next_after(reviewers) if row["state"] in ("open", "ruled") else None,
        timeline=timeline,
        exhibits=_exhibits(store, timeline),
        findings=_touching(row, timeline, engine) if with_findings else (),
    )


def next_after(reviewers: Sequence[Reviewer], also: frozenset[str] = frozenset()) -> str | None:
    """Return the reviewer after the last one who had the case, or None after the last of all.

    `also` are roles that have had it besides those in the timeline.
    """
    had = ("ruled", "heard", "referred")
    places = [n for n, one in enumerate(reviewers) if one.standing in had or one.role in also]
    rest = reviewers[max(places, default=-1) + 1 :]
    return rest[0].role if rest else None


def roles_of(store: Store, official: str, game: str | None) -> frozenset[str]:
    """Return an official's roles, for any team, in a case that asks about this game."""
    rows = Engine(read_official(store, official)).answer("role").dicts()
    return frozenset(
        row["role"]
        for row in rows
        if row["official"] == official and row["game"] in (None, game) and row["has_authority"]
    )


def _entries(
    store: Store, rows: Sequence[Mapping[str, Any]], events: Mapping[str, Event]
) -> tuple[Entry, ...]:
    said = said_in(store, (row["event_id"] for row in rows))
    fields = set(Entry.__dataclass_fields__) - {"roles", "said", "is_erased"}
    return tuple(
        Entry(
            **{key: value for key, value in row.items() if key in fields},
            roles=tuple(row["roles"]),
            said=said.get(row["event_id"]),
            is_erased=is_erased(events[row["event_id"]], said),
        )
        for row in rows
    )


def _standings(order: Sequence[str], timeline: Sequence[Entry]) -> tuple[Reviewer, ...]:
    counts = [e for e in timeline if e.withdrawn_by is None and e.kind != "case_open"]
    found: list[Standing | None] = []
    for role in order:
        own = [entry for entry in counts if role in entry.roles]
        if own:
            found.append("ruled" if any(entry.has_authority for entry in own) else "heard")
        else:
            found.append("referred" if any(e.to_role == role for e in counts) else None)
    last = max((n for n, standing in enumerate(found) if standing), default=-1)
    return tuple(
        Reviewer(role, standing or ("skipped" if n < last else "not_yet"))
        for n, (role, standing) in enumerate(zip(order, found, strict=True))
    )


def _exhibits(store: Store, timeline: Sequence[Entry]) -> tuple[Exhibit, ...]:
    handed_in = [entry for entry in timeline if entry.kind == "case_exhibit"]
    kept, copies = (store.exhibits(), redactions(store)) if handed_in else ({}, {})
    found = []
    for entry in handed_in:
        digest = str(entry.value)
        copy = copies.get(digest)
        found.append(Exhibit(digest, entry.event_id, entry.by, kept.get(copy or digest), copy))
    return tuple(found)


def _touching(
    row: Mapping[str, Any], timeline: Sequence[Entry], engine: Engine
) -> tuple[Mapping[str, Any], ...]:
    """The findings about the case, and about what its question names in its game."""
    game, team, player = row["game"], row["team"], row["player"]
    touched = Touched(
        case_id=row["case_id"],
        own=frozenset(entry.event_id for entry in timeline),
        games=frozenset([game] if game else []),
        sides=frozenset([(game, team)] if game and team else []),
        players=frozenset([player] if player else []),
        is_for_all=player is None,
    )
    statements = {one.event: one for one in all_statements(engine)}
    return touching(find(engine).dicts(), touched, statements)
