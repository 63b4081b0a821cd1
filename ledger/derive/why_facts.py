"""Gather what the queries say about one player of a game, for `ledger.derive.why`."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Literal

from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.rule_header import rule_header
from ledger.derive.statements import Statement, all_statements, with_withdrawals
from ledger.record.kinds import ON_LIST, PER_CHILD, WEIGHS
from ledger.store.store import Stored

PlayBy = Literal[
    "ruling", "on_time", "late", "after_half", "declared", "listed", "not_weighed", "nobody_yet"
]
CarryBy = Literal["ruling", "scale", "book", "undecided", "declared", "not_weighed", "not_playing"]
Standing = Literal["stands", "withdrawn", "crossed_off", "not_counted", "no_authority", "replaced"]

_OWN = {*ON_LIST, *PER_CHILD} - {"plays"}


@dataclass(frozen=True)
class Right:
    """What a player may do: values of may_play and may_carry."""

    may_play: str
    may_carry: str


@dataclass(frozen=True)
class Cited:
    """A statement and what became of it."""

    statement: Statement
    standing: Standing


@dataclass(frozen=True)
class Undone:
    """A withdrawn statement, its withdrawal, and the answer if it had not been withdrawn."""

    statement: Statement
    withdrawal: Statement
    without: Right


class Tables:
    """What `Facts` read of an engine, each table once for all rows."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        self.statements = all_statements(engine)
        self._made: dict[str, list[dict[str, Any]]] = {}

    def rows(self, name: str) -> list[dict[str, Any]]:
        if name not in self._made:
            self._made[name] = self.engine.answer(name).dicts()
        return self._made[name]


class Facts:
    """One row of the eligibility answer, and every statement around it."""

    def __init__(self, tables: Tables, row: Mapping[str, Any]) -> None:
        self._tables = tables
        self._engine = tables.engine
        self._row = row
        self._key = (row["game"], row["team"], row["player"])
        self.statements = tables.statements
        self._at = {statement.position: statement for statement in self.statements}
        self._own = [
            t for t in self.statements if t.kind in _OWN and (t.game, t.team, t.player) == self._key
        ]
        weighed = next(iter(self._rows("weighed")), None)
        self.presented = self._at[weighed["first_position"]] if weighed else None
        self.counts = self._at[weighed["counts_position"]] if weighed else None
        self.weighs = _sorted(t for t in self._own if t.kind in WEIGHS and t.stands)
        self.entitlement = self._rows("entitlement")[0]
        plays = self.entitlement["may_play"]
        # Before any ruling; a player who may not play may not carry.
        self.by_rules = Right(plays, "no" if plays == "none" else self.entitlement["may_carry"])
        gone = {one["reason"] for one in self._rows("listing")} - set(row["listed"])
        self.crossed_off = tuple(sorted(gone))

    def _rows(self, name: str) -> list[dict[str, Any]]:
        rows = self._tables.rows(name)
        return [r for r in rows if (r["game"], r["team"], r["player"]) == self._key]

    @cached_property
    def mark(self) -> Statement | None:
        """The book mark, if it decides."""
        shown = self._row["events"]
        return next((t for t in self.statements if t.kind == "initial" and t.event in shown), None)

    @cached_property
    def half_ended(self) -> Statement | None:
        """The statement that the first half ended."""
        rows = self._tables.rows("half_end")
        mine = [r for r in rows if r["game"] == self._row["game"] and r["half"] == 1]
        return self._at[mine[0]["position"]] if mine else None

    @cached_property
    def closed(self) -> Statement | None:
        """The statement that closed the team's weigh-in."""
        closes = [t for t in self._of_game("close") if t.team == self._row["team"]]
        return min(closes, key=_when, default=None)

    @property
    def play_by(self) -> PlayBy:
        """What decides may_play."""
        if self.ruling("may_play"):
            return "ruling"
        if self.presented is None:
            if self.entitlement["basis"] == "declared":
                return "declared"
            if self._row["listed"]:
                return "listed"
            teams = [(r["game"], r["team"]) for r in self._tables.rows("team_weighed")]
            return "not_weighed" if self._key[:2] in teams else "nobody_yet"
        if self.presented.kind == "weigh":
            return "on_time"
        half = self.half_ended
        return "after_half" if half and half.happened < self.presented.happened else "late"

    @property
    def carry_by(self) -> CarryBy:
        """What decides may_carry."""
        if self._row["may_play"] == "none":
            return "not_playing"
        if self.ruling("may_carry"):
            return "ruling"
        basis = self.entitlement["basis"]
        if basis == "book":
            return "book" if self.mark else "undecided"
        if basis in ("none", "declared"):
            return "declared" if basis == "declared" else "not_weighed"
        return "scale"

    def ruling(self, field: Literal["may_play", "may_carry"]) -> Statement | None:
        """The ruling that decides this: the latest entered with authority that names it."""
        named = [row for row in self._rows("ruling") if row[field] is not None]
        latest = max(named, key=lambda row: int(row["entered_rank"]), default=None)
        return self._at[latest["position"]] if latest else None

    @property
    def rests_on(self) -> tuple[Statement, ...]:
        """The row's events, in order of time."""
        return _sorted(t for t in self.statements if t.event in self._row["events"])

    @property
    def also(self) -> tuple[Cited, ...]:
        """Everything else about the player in the game, in order of time."""
        around = [one.event for one in (*self._own, *self._around())]
        more = with_withdrawals(around, self.statements) - set(self._row["events"])
        others = _sorted(one for one in self.statements if one.event in more)
        return tuple(Cited(statement, self._standing(statement)) for statement in others)

    def undone(
        self, events: Sequence[Stored], as_of: str | None, known_at: str | None
    ) -> tuple[Undone, ...]:
        """What was withdrawn, with the answer derived again as if it had not been."""
        by_book = self.entitlement["basis"] == "book"
        undone = []
        for statement in _sorted(t for t in self.statements if t.withdrawn_by is not None):
            if not (
                (statement.kind in ON_LIST and statement in self._own)
                or (statement.kind == "half" and statement.game == self._row["game"])
                or (by_book and statement.kind == "initial" and statement.player == self._key[2])
            ):
                continue
            withdrawal = next(t for t in self.statements if t.event == statement.withdrawn_by)
            kept = [stored for stored in events if stored.id != withdrawal.event]
            right = _right(kept, self._key, as_of, known_at)
            if right and (statement.kind != "half" or right != self.by_rules):
                undone.append(Undone(statement, withdrawal, right))
        return tuple(undone)

    @property
    def findings(self) -> tuple[dict[str, Any], ...]:
        """The game's findings about the player, or about what the answer rests on."""
        mine = with_withdrawals((one.event for one in self._own), self.statements) | set(
            self._row["events"]
        )
        on_scale = self.counts is not None and self.counts.says["value"] != "no_scale"

        def touches(row: Mapping[str, Any]) -> bool:
            if row["player"]:
                return (row["team"], row["player"]) == self._key[1:]
            about = rule_header(row["rule"]).about
            if about == "scale":
                return on_scale
            return about != "team" and bool(mine & set(row["events"]))

        rows = find(self._engine, game=self._row["game"]).dicts()
        return tuple(row for row in rows if touches(row))

    def _of_game(self, kind: str) -> list[Statement]:
        game = self._row["game"]
        return [t for t in self.statements if t.kind == kind and t.game == game and t.stands]

    def _around(self) -> list[Statement]:
        """Notices that the scale is out, the close and half that make a weigh late, the cases."""
        found: list[Statement | None] = []
        if self.counts and self.counts.says["value"] == "no_scale":
            found += [t for t in self._of_game("scale_out") if t.happened <= self.counts.happened]
        if self.presented and self.presented.kind == "late_weigh":
            found += [self.closed, self.half_ended]
        cases = {t.says["case_id"] for t in self._own if t.kind == "ruling"}
        found += [
            t for t in self.statements if t.kind == "case_open" and t.says["case_id"] in cases
        ]
        return [one for one in found if one]

    def _standing(self, statement: Statement) -> Standing:
        if statement.withdrawn_by:
            return "withdrawn"
        if statement.kind in WEIGHS:
            return "not_counted"
        if statement.kind == "list":
            return "crossed_off"
        if statement.kind == "ruling" and statement.says.keys() & {"may_play", "may_carry"}:
            authority = self._tables.rows("authority")
            allowed = {row["position"] for row in authority if row["has_authority"]}
            return "replaced" if statement.position in allowed else "no_authority"
        return "stands"


def _right(
    events: Sequence[Stored], key: Collection[str], as_of: str | None, known_at: str | None
) -> Right | None:
    engine = Engine(events, as_of=as_of, known_at=known_at)
    rows = engine.answer("eligibility").dicts()
    engine.close()
    mine = [row for row in rows if (row["game"], row["team"], row["player"]) == tuple(key)]
    return Right(mine[0]["may_play"], mine[0]["may_carry"]) if mine else None


def _sorted(statements: Iterable[Statement]) -> tuple[Statement, ...]:
    return tuple(sorted(statements, key=_when))


def _when(statement: Statement) -> tuple[str, int]:
    return statement.happened, statement.position
