"""Statements as they were made: when, by whom, and whether they stand."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from ledger.derive.engine import Engine
from ledger.record import withdrawals

_SAYS = ("number", "value", "reason", "half", "count", "initials", "case_id", "may_play",
         "may_carry", "kickoff_at", "site", "to_role", "target_id")  # fmt: skip
_SAME = ("position", "kind", "game", "team", "player", "withdrawn_by", "is_loaded", "is_late",
         "is_behind", "is_role_later")  # fmt: skip
"""Fields of a statement with the name of their column."""


@dataclass(frozen=True)
class Role:
    """A role of an official; `team` is None if for no team, `game` if for all games."""

    role: str
    team: str | None
    game: str | None = None
    has_authority: bool = True


@dataclass(frozen=True)
class Statement:
    """One statement. Times are UTC text; `says` has what its kind says, as far as given.

    `by` is the official's id and `roles` the official's roles, no matter when given; roles for one
    game count if the statement or its case is about that game. `withdrawn_by` is the event id of
    its withdrawal, if any. `is_late`: recorded more than the league's minutes after it says it was
    written down; `is_loaded`: from a day file; `is_behind`: it says it was written down before a
    signature that does not cover it; `is_role_later`: a ruling made before the ledger learned of
    the role that gives it authority.
    """

    event: str
    position: int
    kind: str
    happened: str
    entered: str
    recorded: str
    by: str
    roles: tuple[Role, ...]
    game: str | None
    team: str | None
    player: str | None
    says: dict[str, Any] = field(default_factory=dict)
    withdrawn_by: str | None = None
    is_loaded: bool = False
    is_late: bool = False
    is_behind: bool = False
    is_role_later: bool = False

    @property
    def stands(self) -> bool:
        return self.withdrawn_by is None


def numbers_of(engine: Engine) -> dict[tuple[str, str, str], int | None]:
    """Players' numbers by game, team and player."""
    rows = engine.answer("subject").dicts()
    return {(row["game"], row["team"], row["player"]): row["number"] for row in rows}


def with_withdrawals(ids: Iterable[str], statements: Iterable[Statement]) -> set[str]:
    """These ids with those of their withdrawals, and of withdrawals of those."""
    taken = [(one.event, one.says["target_id"]) for one in statements if one.kind == "withdraw"]
    return withdrawals.with_withdrawals(ids, taken)


def base_of(statement: Statement, statements: Mapping[str, Statement]) -> Statement:
    """What it is about: itself, or what a withdrawal takes back or restores.

    `statements` are by event id. A withdrawal of anything else is about itself.
    """
    passed = {statement.event}
    while statement.kind == "withdraw":
        target = statements.get(statement.says["target_id"])
        if target is None or target.event in passed:
            break
        statement = target
        passed.add(statement.event)
    return statement


def all_statements(engine: Engine) -> list[Statement]:
    """Every statement in the engine, withdrawn or not, in ledger order."""
    roles: dict[str, list[Role]] = {}
    for row in engine.answer("role").dicts():
        role = Role(row["role"], row["team"], row["game"], row["has_authority"])
        roles.setdefault(row["official"], []).append(role)
    rows = engine.answer("statements").dicts()
    asked: dict[str | None, set[str]] = {}
    for row in rows:
        if row["kind"] == "case_open" and row["game"]:
            asked.setdefault(row["case_id"], set()).add(row["game"])
    return [
        Statement(
            event=row["event_id"],
            happened=row["happened_at"],
            entered=row["entered_at"],
            recorded=row["recorded_at"],
            by=row["stated_by"],
            roles=tuple(
                role
                for role in roles.get(row["stated_by"], ())
                if role.game in (None, row["game"], *asked.get(row["case_id"], ()))
            ),
            says={key: row[key] for key in _SAYS if row[key] is not None},
            **{key: row[key] for key in _SAME},
        )
        for row in rows
    ]
