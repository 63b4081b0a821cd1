"""What the signatures to a team's list signed, and what has changed since, judged by content.

A signature by key or with a scan keeps what it signed, and covers events by their place in their
chains; it depends on no time that anyone claims. A signature on the sheet, or of an older form,
keeps no content: what it covers tells what came later, on a sheet `entered` does.

    stands          the list is what was signed
    late_arrivals   only players weighed late after the signature were added
    changed         lines or rows differ from what was signed
    other           the signed number belongs to no list that is kept with it
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby
from operator import itemgetter
from typing import Any, Literal

from ledger.chain.event import Event, place_of
from ledger.chain.others import Covered, covered_by
from ledger.derive.corrections import behind_a_change, corrections_in
from ledger.derive.engine import Engine
from ledger.derive.signed_list import (
    by_player,
    first_form_number,
    list_content,
    list_contents,
    signed_content,
)
from ledger.derive.statements import Statement, all_statements, base_of
from ledger.errors import InputError
from ledger.record.kinds import AROUND_LIST, GAME_ON_LIST, ON_LIST, ROSTER_CHANGES, WEIGHS
from ledger.store.store import Stored

State = Literal["stands", "late_arrivals", "changed", "other"]
_LATE_WORK = frozenset(ON_LIST) - {"weigh", "ruling"}
_Row = Mapping[str, Any]
_About = tuple[Statement, Statement]
"""A statement, and the statement it is about (`base_of`)."""
_Content = Mapping[str, tuple[Any, Sequence[Any]]]
"""The content of a list by player (`by_player`)."""
_NOTHING: tuple[Any, Sequence[Any]] = (None, [])


@dataclass(frozen=True)
class Changed:
    """A player whose part of the list differs from what was signed, and what did it: statements, or
    corrections of tables.

    `before` and `after` are rows of eligibility as content has them; None if there is no row.
    `is_kept` is false if the signature does not keep what it signed: `before` is unknown.
    `is_late_but_rulings`: without rulings it would be a late arrival.
    """

    player: str
    number: int | None
    before: _Row | None
    after: _Row | None
    statements: tuple[Statement, ...]
    is_late_arrival: bool
    is_kept: bool = True
    corrections: tuple[Event, ...] = ()
    is_late_but_rulings: bool = False


@dataclass(frozen=True)
class SignedList:
    """A signature: its row of `list_signatures`, the list's state since, and what was signed.

    `content` is None if the signature does not keep it (on the sheet, or of form 1).
    """

    row: _Row
    state: State
    changes: tuple[Changed, ...] = ()
    content: _Row | None = None

    @property
    def event_id(self) -> str:
        return str(self.row["event_id"])

    @property
    def stands(self) -> bool:
        """Whether the list is still as signed, apart from late arrivals."""
        return self.state in ("stands", "late_arrivals")


class Signatures:
    """The signatures to the lists of the engine's games; `stored` are the engine's events."""

    def __init__(self, engine: Engine, stored: Iterable[Stored]) -> None:
        self._engine = engine
        self._stored = {one.id: one for one in stored}
        self._corrections = corrections_in(sorted(self._stored.values()))
        self._statements = {one.event: one for one in all_statements(engine)}
        self._of_game: dict[str | None, list[_About]] = {}
        self._anywhere: list[_About] = []
        for statement in self._statements.values():
            base = base_of(statement, self._statements)
            self._of_game.setdefault(base.game, []).append((statement, base))
            if base.kind in AROUND_LIST:
                self._anywhere.append((statement, base))

    def of(self, game: str, team: str, now: _Row | None = None) -> tuple[SignedList, ...]:
        """Those to this list, in the order of `list_signatures`; `now`: its content, if at hand."""
        rows = self._engine.answer("list_signatures", game=game, team=team).dicts()
        if not rows:
            return ()
        now = list_content(self._engine, game, team) if now is None else now
        return tuple(self._compared(row, now) for row in rows)

    def taken_back(self, game: str, team: str) -> tuple[tuple[Statement, Statement], ...]:
        """Withdrawn signatures to this list by key or with a scan, each with its withdrawal."""
        return tuple(
            (statement, self._statements[statement.withdrawn_by])
            for statement, base in self._of_game.get(game, [])
            if statement is base
            and (statement.kind, statement.team) == ("countersign", team)
            and statement.withdrawn_by is not None
            and self._stored[statement.event].event.data.get("how")
        )

    def uncounted(self, game: str, team: str) -> tuple[tuple[Statement, str], ...]:
        """Signatures to this list that count for neither side, each with how it was made."""
        rows = self._engine.answer("list_signatures", game=game, team=team).dicts()
        counted = {row["event_id"] for row in rows}
        return tuple(
            (statement, self._stored[statement.event].event.data.get("how", "sheet"))
            for statement, _ in self._of_game.get(game, [])
            if (statement.kind, statement.team, statement.stands) == ("countersign", team, True)
            and statement.event not in counted
        )

    def statement(self, event_id: str) -> Statement:
        return self._statements[event_id]

    def all(self) -> dict[tuple[str, str], tuple[SignedList, ...]]:
        """Those to every signed list, by game and team."""
        contents = list_contents(self._engine)
        rows = self._engine.answer("list_signatures").dicts()
        return {
            (game, team): tuple(self._compared(row, contents[game, team]) for row in group)
            for (game, team), group in groupby(rows, key=itemgetter("game", "team"))
            if (game, team) in contents
        }

    def _compared(self, row: _Row, now: _Row) -> SignedList:
        later = list(self._later(row))
        data = self._stored[row["event_id"]].event.data
        if row["how"] == "sheet" or "shown" not in data:
            found = self._by_statements(row, by_player(now), later)
            if found.changes or row["how"] == "sheet":
                return found
            return (
                found if first_form_number(now) == row["list_number"] else SignedList(row, "other")
            )
        if (content := signed_content(data)) is None:
            return SignedList(row, "other")
        signed, here = by_player(content), by_player(now)
        players = signed.keys() | here.keys()
        differ = {one for one in players if signed.get(one, _NOTHING) != here.get(one, _NOTHING)}
        covered = self._covered(row)
        corrected = [e for e in self._corrections if not covered.covers(e.chain, e.seq)]
        return _signed_list(
            row, later, differ, here, signed=signed, content=content, corrected=corrected
        )

    def _by_statements(self, row: _Row, here: _Content, later: Sequence[_About]) -> SignedList:
        """By what was entered later, if the content is not kept."""
        since = {statement.event for statement, _ in later}
        weighed = {
            str(statement.player)
            for statement, base in self._of_game.get(row["game"], [])
            if statement is base
            and _is_own(statement, row, WEIGHS)
            and statement.event not in since
        }
        by_book = {player for player, (one, _) in here.items() if one and one["basis"] == "book"}
        players = {
            str(base.player)
            for _, base in later
            if _is_own(base, row, ON_LIST)
            or (base.kind == "initial" and base.player in by_book)
            or (_is_roster_change(base, row) and base.happened <= self._kickoffs[row["game"]])
        }
        return _signed_list(row, later, players, here, weighed=weighed)

    @cached_property
    def _kickoffs(self) -> dict[str, str]:
        return {row["game"]: row["kickoff_at"] for row in self._engine.answer("game").dicts()}

    @cached_property
    def _without_authority(self) -> set[int]:
        rows = self._engine.answer("authority").dicts()
        return {row["position"] for row in rows if not row["has_authority"]}

    def _later(self, row: _Row) -> Iterator[_About]:
        """What comes after the signature and could touch the list."""
        is_after = self._after(row)
        own = self._of_game.get(row["game"], [])
        around = [pair for pair in self._anywhere if pair[1].game != row["game"]]
        yield from (
            pair for pair in (*own, *around) if is_after(pair[0]) and self._can_touch(pair[1], row)
        )

    def _can_touch(self, base: Statement, row: _Row) -> bool:
        """No: a mark in the book that is not of an earlier game, a ruling without authority."""
        if base.kind == "initial":
            return self._kickoffs[str(base.game)] < self._kickoffs[row["game"]]
        return base.position not in self._without_authority

    def _after(self, row: _Row) -> Callable[[Statement], bool]:
        event_id = row["event_id"]
        if row["how"] == "sheet":
            return self._after_sheet(self._statements[event_id])
        covered = self._covered(row)
        return lambda statement: (
            statement.event != event_id and not covered.covers(*place_of(statement.event))
        )

    def _covered(self, row: _Row) -> Covered:
        event = self._stored[row["event_id"]].event
        try:
            return covered_by(event)
        except InputError:  # the audit reports it; what it names cannot be known
            return Covered(event.chain, event.seq, {})

    def _after_sheet(self, signed: Statement) -> Callable[[Statement], bool]:
        """By its time on paper; what the ledger recorded only later was on no sheet."""
        moment = signed.entered, signed.position
        own = Covered(*place_of(signed.event), {})

        def is_after(statement: Statement) -> bool:
            if (statement.entered, statement.position) > moment:
                return True
            if statement.is_loaded:  # day files arrive whole, in any order
                return statement.recorded > signed.recorded
            return statement.event != signed.event and not own.covers(*place_of(statement.event))

        return is_after


def _signed_list(
    row: _Row,
    later: Sequence[_About],
    players: Collection[str],
    here: _Content,
    *,
    signed: _Content | None = None,
    content: _Row | None = None,
    weighed: Collection[str] = (),
    corrected: Sequence[Event] = (),
) -> SignedList:
    """The signature with these players' changes; `signed` is None if the content is not kept."""
    contents = (here, signed or {})

    def order(player: str) -> tuple[bool, int, str]:
        number = _number(player, *contents)
        return number is None, number or 0, player

    changes = []
    for player in sorted(players, key=order):
        after, before = (one.get(player, _NOTHING)[0] for one in contents)
        mine = _about(player, row, later, [before, after])
        unruled = [one for one in mine if one.kind != "ruling"]
        came_late = player not in weighed and _is_late_arrival(before, unruled)
        changes.append(
            Changed(
                player=player,
                number=_number(player, *contents),
                before=before,
                after=after,
                statements=mine,
                is_late_arrival=came_late and len(unruled) == len(mine),
                is_kept=signed is not None,
                corrections=behind_a_change(
                    corrected, row["game"], player, is_explained=bool(mine)
                ),
                is_late_but_rulings=came_late,
            )
        )
    all_late = all(one.is_late_arrival for one in changes)
    state: State = "stands" if not changes else "late_arrivals" if all_late else "changed"
    return SignedList(row, state, tuple(changes), content)


def _is_late_arrival(before: _Row | None, mine: Sequence[Statement]) -> bool:
    """Whether the player was not weighed at signing, and everything since is late work."""
    was_weighed = before is not None and before["basis"] not in ("none", "declared")
    is_late = any(one.kind == "late_weigh" for one in mine) and not was_weighed
    return is_late and all(
        one.kind in _LATE_WORK
        and one.stands
        and not one.is_behind
        and (one.kind != "list" or one.says["reason"] == "over")
        for one in mine
    )


def _about(
    player: str, row: _Row, later: Sequence[_About], rows: Sequence[_Row | None]
) -> tuple[Statement, ...]:
    """What changed this player's part: weighs, lines and rulings; if none, the roster or the book;
    if none, what moves a whole game."""
    by_book = any(one is not None and one["basis"] == "book" for one in rows)
    mine = [(statement, base) for statement, base in later if base.player == player]
    own = [one for one, base in mine if _is_own(base, row, ON_LIST)]
    around = [
        one
        for one, base in mine
        if _is_roster_change(base, row) or (base.kind == "initial" and by_book)
    ]
    of_game = [one for one, base in later if base.kind in GAME_ON_LIST and base.game == row["game"]]
    return tuple(own or around or of_game)


def _is_own(statement: Statement, row: _Row, kinds: Collection[str]) -> bool:
    of_list = (statement.game, statement.team) == (row["game"], row["team"])
    return of_list and statement.kind in kinds


def _is_roster_change(statement: Statement, row: _Row) -> bool:
    return statement.kind in ROSTER_CHANGES and statement.team == row["team"]


def _number(player: str, *contents: _Content) -> int | None:
    for content in contents:
        row, lines = content.get(player, _NOTHING)
        for one in (row, *lines):
            if one is not None and one["number"] is not None:
                return int(one["number"])
    return None
