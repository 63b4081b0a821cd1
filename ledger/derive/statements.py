"""Statements as they were made, for whoever asks why: when, by whom, and whether they stand."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from ledger.derive.engine import Engine
from ledger.record import withdrawals

_SAYS = ("number", "value", "reason", "half", "count", "initials", "case_id", "may_play",
         "may_carry", "kickoff_at", "site", "to_role", "target_id")  # fmt: skip


@dataclass(frozen=True)
class Role:
    """A role of an official; `team` is None where it is for no team, `game` where it is for all."""

    role: str
    team: str | None
    game: str | None = None
    has_authority: bool = True


@dataclass(frozen=True)
class Statement:
    """One statement. Times are UTC text; `says` holds what its kind says, as far as given.

    `by` is the official's id and `roles` what the official is, whenever appointed: of the roles
    for one game those of the game that it is about (or that its case asks about).
    `withdrawn_by` is the event id of the withdrawal that took it back, if one did. `is_late`: it
    was recorded later than it says it was written down, by more than the league's minutes;
    `is_loaded`: it came from a day file; `is_behind`: a signature about it does not cover it,
    though by its own word it was written down before; `is_role_later`: a ruling before the ledger
    came to know the role that gives it authority.
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
    """The players' numbers in the games, by game, team and player."""
    return {
        (row["game"], row["team"], row["player"]): row["number"]
        for row in engine.answer("subject").dicts()
    }


def with_withdrawals(ids: Iterable[str], statements: Iterable[Statement]) -> set[str]:
    """These ids, with those of their withdrawals, and of the withdrawals of those."""
    taken = [(one.event, one.says["target_id"]) for one in statements if one.kind == "withdraw"]
    return withdrawals.with_withdrawals(ids, taken)


def base_of(statement: Statement, statements: Mapping[str, Statement]) -> Statement:
    """What it is about, by event id: itself, or what a withdrawal takes back or restores.

    A withdrawal of what is not in `statements` is about itself.
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
    """Every statement that the engine was given, withdrawn or not, in ledger order."""
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
            position=row["position"],
            kind=row["kind"],
            happened=row["happened_at"],
            entered=row["entered_at"],
            recorded=row["recorded_at"],
            by=row["stated_by"],
            roles=tuple(
                role
                for role in roles.get(row["stated_by"], ())
                if role.game in (None, row["game"], *asked.get(row["case_id"], ()))
            ),
            game=row["game"],
            team=row["team"],
            player=row["player"],
            says={key: row[key] for key in _SAYS if row[key] is not None},
            withdrawn_by=row["withdrawn_by"],
            is_loaded=row["is_loaded"],
            is_late=row["is_late"],
            is_behind=row["is_behind"],
            is_role_later=row["is_role_later"],
        )
        for row in rows
    ]
