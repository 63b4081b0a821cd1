"""Findings for those who should look: by role, association and day; steps not due yet are apart."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import Any

from ledger.derive.acting import Acting
from ledger.derive.engine import Engine
from ledger.derive.rule_header import rule_header
from ledger.errors import InputError
from ledger.record.times import local_date
from ledger.suggest import suggest_hint

Row = Mapping[str, Any]
LOOKERS = ("weighmaster", "site_official", "head_official", "association_president",
           "division_president", "registrar")  # fmt: skip
"""The roles that look at findings, from the table up."""
KICKOFF, END = "kickoff", "end"


def lookers(rule: str) -> tuple[str, ...]:
    """The roles that should look at a rule's findings, the first one first."""
    named = {"weighmasters": "weighmaster"}
    return tuple(named.get(role, role) for role in rule_header(rule).look)


def narrow(
    engine: Engine,
    rows: Iterable[Row],
    *,
    games: Collection[str] | None = None,
    association: str | None = None,
    role: str | None = None,
) -> list[Row]:
    """Keep the findings in these games, about this association, for this role.

    A finding is about an association if it names one of its teams, as team or side, or if its
    weighmasters are to act (`Acting`: the opponents weigh a child); one that names no team if one
    of them plays in its game. InputError for an unknown association or role.
    """
    if role is not None and role not in LOOKERS:
        hint = suggest_hint(role, LOOKERS, f"Roles that look: {', '.join(LOOKERS)}.")
        raise InputError(f"no finding is for the role {role}", hint=hint)
    found = [row for row in rows if games is None or row["game"] in games]
    found = [row for row in found if role is None or role in lookers(row["rule"])]
    if association is None:
        return found
    teams = teams_of(engine, association)
    sides = {row["game"]: {row["home"], row["visitor"]} for row in engine.answer("game").dicts()}
    acting = Acting(engine)

    def concerned(row: Row) -> set[str]:
        named = {row["team"], row["side"]} - {None}
        return (named or sides.get(row["game"], set())) | {*acting.teams(row)}

    return [row for row in found if teams & concerned(row)]


def teams_of(engine: Engine, association: str) -> set[str]:
    """The association's teams; InputError for an unknown one."""
    rows = engine.answer("team").dicts()
    known = {row["association"] for row in rows if row["association"]}
    if association not in known:
        named = f"Associations are: {', '.join(sorted(known))}." if known else "There are none."
        hint = suggest_hint(association, known, named)
        raise InputError(f"no association {association} in this ledger", hint=hint)
    return {row["team"] for row in rows if row["association"] == association}


def games_over(engine: Engine, *, now: str, zone: str) -> set[str]:
    """The games whose half 2 was entered as ended, or whose day is past at `now` (UTC text)."""
    ended = {row["game"] for row in engine.answer("half_end").dicts() if row["half"] == 2}
    kickoffs = {row["game"]: row["kickoff_at"] for row in engine.answer("game").dicts()}
    today = local_date(now, zone)
    return ended | {game for game, at in kickoffs.items() if local_date(at, zone) < today}


def by_due(
    engine: Engine, rows: Iterable[Row], *, now: str, zone: str
) -> tuple[list[Row], list[Row]]:
    """The findings whose step was due by `now` (UTC text), and those still to do.

    A step due at the end of the game is due when half 2 was entered as ended, or on the day after.
    """
    kickoffs = {row["game"]: row["kickoff_at"] for row in engine.answer("game").dicts()}
    over = games_over(engine, now=now, zone=zone)

    def is_due(row: Row) -> bool:
        due, kickoff = rule_header(row["rule"]).due, kickoffs.get(row["game"])
        if due is None or kickoff is None:
            return True
        return bool(now >= kickoff) if due == KICKOFF else row["game"] in over

    found: list[Row] = []
    still: list[Row] = []
    for row in rows:
        (found if is_due(row) else still).append(row)
    return found, still
