"""What the queries say about one player of a game, gathered for `ledger.derive.why`."""

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
    """What somebody may do: values of may_play and may_carry."""

    may_play: str
    may_carry: str


@dataclass(frozen=True)
class Cited:
    """A statement with what became of it."""

    statement: Statement
    standing: Standing


@dataclass(frozen=True)
class Undone:
    """A statement that was taken back, the withdrawal, and the answer had it not been."""

    statement: Statement
    withdrawal: Statement
    without: Right


class Facts:
    """One row of the eligibility answer, and all that was stated around it."""

    def __init__(self, engine: Engine, row: Mapping[str, Any]) -> None:
        self._engine = engine
        self._row = row
        self._key = (row["game"], row["team"], row["player"])
        self.statements = all_statements(engine)
        self._at = {statement.position: statement for statement in self.statements}
        self._weighed = next(iter(self._rows("weighed")), None)
        self.entitlement = self._rows("entitlement")[0]

    def _rows(self, name: str) -> list[dict[str, Any]]:
        rows = self._engine.answer(name).dicts()
        return [r for r in rows if (r["game"], r["team"], r["player"]) == self._key]

    @cached_property
    def by_rules(self) -> Right:
        """The answer before any ruling; who may not play may not carry."""
        plays = self.entitlement["may_play"]
        return Right(plays, "no" if plays == "none" else self.entitlement["may_carry"])

    @cached_property
    def presented(self) -> Statement | None:
        return self._at[self._weighed["first_position"]] if self._weighed else None

    @cached_property
    def counts(self) -> Statement | None:
        return self._at[self._weighed["counts_position"]] if self._weighed else None

    @cached_property
    def mark(self) -> Statement | None:
        """The book mark, where it decides."""
        shown = self._row["events"]
        return next((t for t in self.statements if t.kind == "initial" and t.event in shown), None)

    @cached_property
    def half_ended(self) -> Statement | None:
        """The statement that the first half ended."""
        rows = self._engine.answer("half_end").dicts()
        mine = [r for r in rows if r["game"] == self._row["game"] and r["half"] == 1]
        return self._at[mine[0]["position"]] if mine else None

    @cached_property
    def closed(self) -> Statement | None:
        """The statement that closed the team's weigh-in."""
        closes = [t for t in self._of_game("close") if t.team == self._row["team"]]
        return min(closes, key=_when, default=None)

    @cached_property
    def weighs(self) -> tuple[Statement, ...]:
        """The player's weighs that are not withdrawn, in the order of time."""
        return tuple(sorted((t for t in self._own() if t.kind in WEIGHS and t.stands), key=_when))

    @cached_property
    def crossed_off(self) -> tuple[str, ...]:
        """Reasons of the player's listings that no longer stand."""
        gone = {row["reason"] for row in self._rows("listing")} - set(self._row["listed"])
        return tuple(sorted(gone))

    @cached_property
    def play_by(self) -> PlayBy:
        """What decides may_play."""
        if self.ruling("may_play"):
            return "ruling"
        if self.presented is None:
            if self.entitlement["basis"] == "declared":
                return "declared"
            if self._row["listed"]:
                return "listed"
            teams = [(r["game"], r["team"]) for r in self._engine.answer("team_weighed").dicts()]
            return "not_weighed" if self._key[:2] in teams else "nobody_yet"
        if self.presented.kind == "weigh":
            return "on_time"
        half = self.half_ended
        return "after_half" if half and half.happened < self.presented.happened else "late"

    @cached_property
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
        """The ruling that decides this: the latest entered that names it, with authority."""
        named = [row for row in self._rows("ruling") if row[field] is not None]
        latest = max(named, key=lambda row: int(row["entered_rank"]), default=None)
        return self._at[latest["position"]] if latest else None

    def rests_on(self) -> tuple[Statement, ...]:
        """The row's events, in the order of time."""
        return tuple(
            sorted((t for t in self.statements if t.event in self._row["events"]), key=_when)
        )

    def also(self) -> tuple[Cited, ...]:
        """What else was stated about the player in the game, in the order of time."""
        more = self._with_withdrawals([*self._own(), *self._around()]) - set(self._row["events"])
        others = [one for one in self.statements if one.event in more]
        return tuple(
            Cited(statement, self._standing(statement)) for statement in sorted(others, key=_when)
        )

    def undone(
        self, events: Sequence[Stored], as_of: str | None, known_at: str | None
    ) -> tuple[Undone, ...]:
        """What was taken back, with the answer derived again as if it had not been."""
        marks = [
            t for t in self.statements if t.kind == "initial" and t.player == self._row["player"]
        ]
        earlier = marks if self.entitlement["basis"] == "book" else []
        own = [t for t in self._own() if t.kind in ON_LIST]
        halves = [t for t in self.statements if t.kind == "half" and t.game == self._row["game"]]
        undone = []
        for statement in sorted(
            {t.event: t for t in [*own, *halves, *earlier]}.values(), key=_when
        ):
            if statement.withdrawn_by is None:
                continue
            withdrawal = next(t for t in self.statements if t.event == statement.withdrawn_by)
            kept = [stored for stored in events if stored.id != withdrawal.event]
            right = _right(kept, self._key, as_of, known_at)
            if right and (statement.kind != "half" or right != self.by_rules):
                undone.append(Undone(statement, withdrawal, right))
        return tuple(undone)

    def findings(self) -> tuple[dict[str, Any], ...]:
        """The game's findings that are about the player, or about what the answer rests on."""
        mine = self._with_withdrawals(self._own()) | set(self._row["events"])
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

    def _own(self) -> list[Statement]:
        return [
            t for t in self.statements if t.kind in _OWN and (t.game, t.team, t.player) == self._key
        ]

    def _of_game(self, kind: str) -> list[Statement]:
        game = self._row["game"]
        return [t for t in self.statements if t.kind == kind and t.game == game and t.stands]

    def _around(self) -> list[Statement]:
        """Of the game: the scale that was out, the close and the half that make a weigh late."""
        found: list[Statement | None] = []
        if self.counts and self.counts.says["value"] == "no_scale":
            found += [t for t in self._of_game("scale_out") if t.happened <= self.counts.happened]
        if self.presented and self.presented.kind == "late_weigh":
            found += [self.closed, self.half_ended]
        cases = {t.says["case_id"] for t in self._own() if t.kind == "ruling"}
        found += [
            t for t in self.statements if t.kind == "case_open" and t.says["case_id"] in cases
        ]
        return [one for one in found if one]

    def _with_withdrawals(self, statements: Iterable[Statement]) -> set[str]:
        return with_withdrawals((one.event for one in statements), self.statements)

    def _standing(self, statement: Statement) -> Standing:
        if statement.withdrawn_by:
            return "withdrawn"
        if statement.kind in WEIGHS:
            return "not_counted"
        if statement.kind == "list":
            return "crossed_off"
        if statement.kind == "ruling" and statement.says.keys() & {"may_play", "may_carry"}:
            authority = self._engine.answer("authority").dicts()
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


def _when(statement: Statement) -> tuple[str, int]:
    return statement.happened, statement.position
