"""A case: a question, what was said about it, who reviews it, and what is due when.

A case accuses nobody. Reviewers have it in the league's order (`[reviews]` of league.toml); a
reviewer may be passed over, and it shows. Names are not looked up here; what people said comes
from the disclosures, and what was erased stays erased.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from ledger.chain.event import Event
from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.scope import read_case, read_cases, read_official
from ledger.errors import InputError
from ledger.record.times import now_utc
from ledger.review.said import is_erased, said_in
from ledger.store.erasure import redactions
from ledger.store.store import Store

Standing = Literal["ruled", "heard", "referred", "skipped", "not_yet"]


@dataclass(frozen=True)
class Entry:
    """A statement about a case, in the answer's words; times are UTC text.

    `said` is the note, None where there is none or it `is_erased`. `has_authority` is None but
    for a ruling that counts; `is_role_later`: the ledger came to know the role only after it.
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
    """A role of the league's order, and how far the case has come with it.

    ruled: somebody of the role ruled; heard: said or did something else in the case (to open it
    is to ask); referred: it was passed to them; skipped: a later reviewer had it; not_yet: none
    of these.
    """

    role: str
    standing: Standing


@dataclass(frozen=True)
class Exhibit:
    """A file handed in, by its SHA-256 (hex).

    `copy_sha256` is that of the redacted copy in its place, if there is one. `kept_as` is the
    name of the file, or of the copy, where the ledger keeps it; None where it keeps the digest.
    """

    sha256: str
    event_id: str
    by: str
    kept_as: str | None
    copy_sha256: str | None


@dataclass(frozen=True)
class Case:
    """A case as of a moment; the question's columns are those of sql/answers/cases.sql."""

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
        """What asked the question: of several the first that counts; withdrawn if none does."""
        asked = [one for one in self.timeline if one.kind == "case_open" and not one.withdrawn_by]
        return asked[0] if asked else self.timeline[0]

    @property
    def skipped(self) -> tuple[str, ...]:
        """Reviewers that were passed over, in order."""
        return tuple(one.role for one in self.reviewers if one.standing == "skipped")


def list_cases(
    store: Store, *, as_of: str | None = None, known_at: str | None = None
) -> tuple[tuple[str, ...], list[dict[str, Any]]]:
    """Columns and rows of every case, as sql/answers/cases.sql gives them."""
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
    """The case as of these moments; finding what touches it takes longest, and may be left out.

    `now` (UTC text; unless given as_of, known_at or the clock) decides whether the time to answer
    is over. Raises InputError for a case that the ledger does not know, or not yet by then.
    """
    stored = read_case(store, case_id, as_of=as_of, known_at=known_at)
    engine = Engine(stored, as_of=as_of, known_at=known_at)
    events = {event.id: event for event in (one.event for one in stored)}
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
    """The case as the engine has it; `events` are what the engine was given, by id."""
    rows = [row for row in engine.answer("cases").dicts() if row["case_id"] == case_id]
    if not rows:
        hint = "Ask for a later moment, or without --as-of and --known-at."
        raise InputError(f"the case {case_id} was not opened yet by then", hint=hint)
    row = rows[0]
    told = [r for r in engine.answer("case_timeline").dicts() if r["case_id"] == case_id]
    timeline = _entries(store, told, events)
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
    """The first reviewer after the last who has had the case; None after the last of all.

    `also` are roles that have had it beside those that the timeline shows.
    """
    had = [n for n, one in enumerate(reviewers) if _has_had(one) or one.role in also]
    rest = reviewers[max(had, default=-1) + 1 :]
    return rest[0].role if rest else None


def roles_of(store: Store, official: str, game: str | None) -> frozenset[str]:
    """The roles that an official holds in a case that asks about this game, for whatever team."""
    rows = Engine(read_official(store, official)).answer("role").dicts()
    return frozenset(
        row["role"]
        for row in rows
        if row["official"] == official and row["game"] in (None, game) and row["has_authority"]
    )


def _has_had(reviewer: Reviewer) -> bool:
    return reviewer.standing in ("ruled", "heard", "referred")


def _entries(
    store: Store, told: Sequence[Mapping[str, Any]], events: Mapping[str, Event]
) -> tuple[Entry, ...]:
    said = said_in(store, (row["event_id"] for row in told))
    fields = set(Entry.__dataclass_fields__) - {"roles", "said", "is_erased"}
    return tuple(
        Entry(
            **{key: value for key, value in row.items() if key in fields},
            roles=tuple(row["roles"]),
            said=said.get(row["event_id"]),
            is_erased=is_erased(events[row["event_id"]], said),
        )
        for row in told
    )


def _standings(order: Sequence[str], timeline: Sequence[Entry]) -> tuple[Reviewer, ...]:
    counts = [e for e in timeline if e.withdrawn_by is None and e.kind != "case_open"]
    found: list[Standing | None] = []
    for role in order:
        own = [entry for entry in counts if role in entry.roles]
        if any(entry.has_authority for entry in own):
            found.append("ruled")
        elif own:
            found.append("heard")
        else:
            referred = any(entry.to_role == role for entry in counts)
            found.append("referred" if referred else None)
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
    """Findings about the case or its statements, and those of its game, team and player."""
    own = {entry.event_id for entry in timeline}

    def touches(finding: Mapping[str, Any]) -> bool:
        if finding["case"] == row["case_id"] or own & set(finding["events"]):
            return True
        about = [key for key in ("game", "team", "player") if row[key] is not None]
        return "game" in about and all(finding[key] == row[key] for key in about)

    return tuple(finding for finding in find(engine).dicts() if touches(finding))
