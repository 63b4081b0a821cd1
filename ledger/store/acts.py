"""Acts that need a role: making and revoking keys, erasing, redacting, closing the season.

The role is one of OFFICES, by a line of officials.csv or by an appoint with authority
(sql/README.md, section 3). If the person who acts has a key, it signs the act.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace
from typing import Any, NamedTuple, Protocol

from ledger.chain.event import Event
from ledger.errors import InputError, RuleError
from ledger.record.accepted import Accepted
from ledger.record.authority import OFFICES, Appointment, role_name, with_authority
from ledger.record.corrections import rows_that_count
from ledger.record.kinds import BRINGS_IN
from ledger.record.withdrawals import withdrawn
from ledger.store.store import Store, Writing
from ledger.suggest import suggest_hint


class Signer(Protocol):
    """Signs an act with the key of the one who acts."""

    def said(self, store: Store, chain: str) -> dict[str, Any]:
        """What the act's event says of it, asked under the lock; RuleError where it cannot sign."""
        ...

    def sign(self, writing: Writing, chain: str) -> object:
        """Keep the cosigned checkpoint that includes the act's event, in the same transaction."""
        ...


class Role(NamedTuple):
    """A role given to someone: `game` is None unless it is for one game only.

    `source` is the event's id, `by` None for a line of officials.csv.
    """

    official: str
    role: str
    team: str | None
    game: str | None
    by: str | None
    source: str
    has_authority: bool


def append_act(writing: Writing, act: Accepted, *, chain: str, signer: Signer | None = None) -> str:
    """Append the act's event, signed where there is a signer; its id."""
    if signer is not None:
        act = replace(act, data=act.data | signer.said(writing.store, chain))
    event_id = writing.append([act], chain=chain)[0]
    if signer is not None:
        signer.sign(writing, chain)
    return event_id


def roles_given(store: Store) -> list[Role]:
    """Every role of officials.csv, as corrected, and of appoints that count, in ledger order."""
    read = store.events(kind=[*BRINGS_IN["official"], "withdraw"])
    events = rows_that_count(stored.event for stored in read)
    gone = withdrawn([(e.id, e.data["target"]) for e in events if e.kind == "withdraw"])
    lines = [_line(event) for event in events if event.kind == "official"]
    appoints = [event for event in events if event.kind == "appoint" and event.id not in gone]
    return [*lines, *_appointed(lines, appoints)]


def offices_of(
    given: Iterable[Role], official: str, offices: Collection[str] = OFFICES
) -> list[str]:
    """Which of the `offices` the official holds with authority, for the whole season."""
    return [
        one.role
        for one in given
        if (one.official, one.game) == (official, None)
        and one.role in offices
        and one.has_authority
    ]


def check_official(store: Store, official: str) -> None:
    """InputError when this is no official of the ledger."""
    if not list(store.events(kind=BRINGS_IN["official"], subject=[official])):
        held = [stored.event for stored in store.events(kind=BRINGS_IN["official"])]
        known = {str(event.data.get("official", event.data.get("value"))) for event in held}
        raise InputError(
            f"no official {official} in this ledger", hint=suggest_hint(official, known, _APPOINT)
        )


def check_may(store: Store, by: str, verb: str, offices: Collection[str] = OFFICES) -> None:
    """RuleError, which says who may, unless `by` holds one of the `offices`; InputError if unknown.

    `verb` is what is to be done, such as "erase".
    """
    check_official(store, by)
    given = roles_given(store)
    if not offices_of(given, by, offices):
        hint = _who_may(given, offices)
        raise RuleError(f"{_only(offices)} may {verb}. {who_is(given, by)}", hint=hint)


def who_is(given: Collection[Role], official: str) -> str:
    """The official's roles in one sentence; one without authority is named as such."""
    own = [one for one in given if one.official == official]
    held = [in_words(one) for one in own if one.has_authority or one.role not in OFFICES]
    told = f"{official} is {' and '.join(dict.fromkeys(held))}." if held else ""
    empty = [one for one in own if not one.has_authority and one.role in OFFICES]
    for one in empty:
        by = "themselves" if one.by == official else f"{one.by}, who may not appoint"
        what = role_name(one.role)
        told += f" {official} was made {what} by {by}, which does not count here ({one.source})."
    return told.strip() or f"{official} has no role here."


def in_words(role: Role) -> str:
    """ "weighmaster of newts", "site official (acorn-1a only)"."""
    name = role_name(role.role)
    return name + f" of {role.team}" * bool(role.team) + f" ({role.game} only)" * bool(role.game)


def _line(event: Event) -> Role:
    data = event.data
    return Role(data["official"], data["role"], event.team, None, None, event.id, True)


def _appointed(lines: Collection[Role], appoints: Collection[Event]) -> Iterator[Role]:
    made = [
        Appointment(event.by or "", event.data["value"], event.data["to"], event.game)
        for event in appoints
    ]
    found = with_authority([(line.official, line.role) for line in lines], made)
    for event, one, has_authority in zip(appoints, made, found, strict=True):
        yield Role(one.official, one.role, event.team, one.game, one.by, event.id, has_authority)


def _only(offices: Collection[str]) -> str:
    """ "Only the registrar or a division president"."""
    named = [f"{_ARTICLES[role]} {role_name(role)}" for role in offices]
    return f"Only {' or '.join(filter(None, [', '.join(named[:-1]), named[-1]]))}"


def _who_may(given: Collection[Role], offices: Collection[str]) -> str:
    season = [one for one in given if one.game is None and one.has_authority]
    fitting = [one.official for one in season if one.role in offices]
    if not fitting:
        return "Nobody here has one of these roles. Add a line to officials.csv and load it."
    return f"Name one of them with --by: {', '.join(dict.fromkeys(fitting))}."


_ARTICLES = {"registrar": "the", "association_president": "an", "division_president": "a"}
WHO = _only(OFFICES)
_APPOINT = "Name an official in officials.csv, or record an appoint first."
