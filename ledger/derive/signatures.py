"""What the signatures to a team's list signed, and what has changed since: told by content.

A signature by key or with a scan keeps what it signed, and covers events by their place in their
chains; no time that somebody claims enters into this. Of a signature on the sheet, or of an older
form, the content is not kept: what is later is told by what it covers, on a sheet by `entered`.

    stands          the list is what was signed
    late_arrivals   only players have been added who were weighed late after the signature
    changed         lines or rows differ from what was signed
    other           the number that was signed is not that of any list that is kept with it
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby
from operator import itemgetter
from typing import Any, Literal

from ledger.chain.event import place_of
from ledger.chain.others import Covered, covered_by
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


@dataclass(frozen=True)
class Changed:
    """A player whose part of the list differs from what was signed, and by which statements.

    `before` and `after` are rows of eligibility as content has them; None where there is no row.
    `is_kept` is false where the signature does not keep what it signed: `before` is unknown.
    """

    player: str
    number: int | None
    before: Mapping[str, Any] | None
    after: Mapping[str, Any] | None
    statements: tuple[Statement, ...]
    is_late_arrival: bool
    is_kept: bool = True


@dataclass(frozen=True)
class SignedList:
    """A signature: its row of `list_signatures`, what has become of the list, and what was signed.

    `content` is None where the signature does not keep it (on the sheet, or of form 1).
    """

    row: Mapping[str, Any]
    state: State
    changes: tuple[Changed, ...] = ()
    content: Mapping[str, Any] | None = None

    @property
    def event_id(self) -> str:
        return str(self.row["event_id"])

    @property
    def stands(self) -> bool:
        """Whether it is a signature to the list as it is, late arrivals aside."""
        return self.state in ("stands", "late_arrivals")


class Signatures:
    """The signatures to the lists of the engine's games.

    `stored` are the events that the engine was given.
    """

    def __init__(self, engine: Engine, stored: Iterable[Stored]) -> None:
        self._engine = engine
        self._stored = {one.id: one for one in stored}
        self._statements = {one.event: one for one in all_statements(engine)}
        self._of_game: dict[str | None, list[tuple[Statement, Statement]]] = {}
        self._anywhere: list[tuple[Statement, Statement]] = []
        for statement in self._statements.values():
            base = base_of(statement, self._statements)
            self._of_game.setdefault(base.game, []).append((statement, base))
            if base.kind in AROUND_LIST:
                self._anywhere.append((statement, base))

    def of(
        self, game: str, team: str, now: Mapping[str, Any] | None = None
    ) -> tuple[SignedList, ...]:
        """Of this list, in the order of `list_signatures`; `now` is its content, if at hand."""
        rows = self._engine.answer("list_signatures", game=game, team=team).dicts()
        if not rows:
            return ()
        now = list_content(self._engine, game, team) if now is None else now
        return tuple(self._compared(row, now) for row in rows)

    def taken_back(self, game: str, team: str) -> tuple[tuple[Statement, Statement], ...]:
        """Signatures to this list by key or with a scan that were withdrawn, each with how."""
        signed = [
            statement
            for statement, base in self._of_game.get(game, [])
            if statement is base
            and (statement.kind, statement.team) == ("countersign", team)
            and statement.withdrawn_by is not None
            and self._stored[statement.event].event.data.get("how")
        ]
        return tuple((one, self._statements[str(one.withdrawn_by)]) for one in signed)

    def statement(self, event_id: str) -> Statement:
        """The statement with that id."""
        return self._statements[event_id]

    def all(self) -> dict[tuple[str, str], tuple[SignedList, ...]]:
        """Of every list that was signed, by game and team."""
        contents = list_contents(self._engine)
        rows = self._engine.answer("list_signatures").dicts()
        lists = {key: list(group) for key, group in groupby(rows, key=itemgetter("game", "team"))}
        return {
            (game, team): tuple(self._compared(row, contents[game, team]) for row in group)
            for (game, team), group in lists.items()
            if (game, team) in contents
        }

    def _compared(self, row: Mapping[str, Any], now: Mapping[str, Any]) -> SignedList:
        later = list(self._later(row))
        if row["how"] == "sheet":
            return self._by_statements(row, now, later)
        data = self._stored[row["event_id"]].event.data
        if "shown" not in data:
            found = self._by_statements(row, now, later)
            is_known = found.changes or first_form_number(now) == row["list_number"]
            return found if is_known else SignedList(row, "other")
        content = signed_content(data)
        if content is None:
            return SignedList(row, "other")
        changes = _differences(row, content, now, later)
        return SignedList(row, _state(changes), changes, content)

    def _by_statements(
        self, row: Mapping[str, Any], now: Mapping[str, Any], later: _Later
    ) -> SignedList:
        weighed = self._weighed_before(row, later)
        return _by_statements(row, now, later, weighed, self._kickoffs[row["game"]])

    @cached_property
    def _kickoffs(self) -> dict[str, str]:
        return {row["game"]: row["kickoff_at"] for row in self._engine.answer("game").dicts()}

    def _weighed_before(self, row: Mapping[str, Any], later: _Later) -> set[str]:
        """The players of the list who had been weighed when it was signed."""
        since = {statement.event for statement, _ in later}
        return {
            str(statement.player)
            for statement, base in self._of_game.get(row["game"], [])
            if statement is base
            and _is_own(statement, row, WEIGHS)
            and statement.event not in since
        }

    def _later(self, row: Mapping[str, Any]) -> Iterator[tuple[Statement, Statement]]:
        """What comes after the signature and could touch the list, each with what it is about."""
        is_after = self._after(row)
        own = self._of_game.get(row["game"], [])
        around = [pair for pair in self._anywhere if pair[1].game != row["game"]]
        yield from (pair for pair in (*own, *around) if is_after(pair[0]))

    def _after(self, row: Mapping[str, Any]) -> Callable[[Statement], bool]:
        event_id = row["event_id"]
        if row["how"] == "sheet":
            return self._after_sheet(self._statements[event_id])
        event = self._stored[event_id].event
        try:
            covered = covered_by(event)
        except InputError:  # the audit tells of it; what it names cannot be known
            covered = Covered(event.chain, event.seq, {})
        return lambda statement: (
            statement.event != event_id and not covered.covers(*place_of(statement.event))
        )

    def _after_sheet(self, signed: Statement) -> Callable[[Statement], bool]:
        """By its time on paper; what the ledger came to hold only later was on no sheet of it."""
        moment = signed.entered, signed.position
        chain, seq = place_of(signed.event)
        own = Covered(chain, seq, {})

        def is_after(statement: Statement) -> bool:
            if (statement.entered, statement.position) > moment:
                return True
            if statement.is_loaded:  # day files come at once, in whatever order
                return statement.recorded > signed.recorded
            return statement.event != signed.event and not own.covers(*place_of(statement.event))

        return is_after


_Later = Sequence[tuple[Statement, Statement]]
"""Statements after a signature, each with what it is about."""


def _differences(
    row: Mapping[str, Any], content: Mapping[str, Any], now: Mapping[str, Any], later: _Later
) -> tuple[Changed, ...]:
    signed, here = by_player(content), by_player(now)
    changes = []
    for player in sorted(signed.keys() | here.keys(), key=lambda one: _order(one, here, signed)):
        before, after = signed.get(player, (None, [])), here.get(player, (None, []))
        if before != after:
            mine = _about(player, row, later, [before[0], after[0]])
            changes.append(
                Changed(
                    player=player,
                    number=_number(player, here, signed),
                    before=before[0],
                    after=after[0],
                    statements=mine,
                    is_late_arrival=_is_late_arrival(before[0], mine),
                )
            )
    return tuple(changes)


def _by_statements(
    row: Mapping[str, Any],
    now: Mapping[str, Any],
    later: _Later,
    weighed: Collection[str],
    kickoff: str,
) -> SignedList:
    """By what was stated later, where the content is not kept."""
    here = by_player(now)
    by_book = {player for player, (one, _) in here.items() if one and one["basis"] == "book"}
    players = {
        str(base.player)
        for _, base in later
        if _is_own(base, row, ON_LIST)
        or (base.kind == "initial" and base.player in by_book)
        or (base.kind in ROSTER_CHANGES and base.team == row["team"] and base.happened <= kickoff)
    }
    changes = []
    for player in sorted(players, key=lambda one: _order(one, here)):
        after = here.get(player, (None, []))[0]
        mine = _about(player, row, later, [after])
        changes.append(
            Changed(
                player=player,
                number=_number(player, here),
                before=None,
                after=after,
                statements=mine,
                is_late_arrival=player not in weighed and _is_late_arrival(None, mine),
                is_kept=False,
            )
        )
    return SignedList(row, _state(changes), tuple(changes))


def _state(changes: Sequence[Changed]) -> State:
    if not changes:
        return "stands"
    return "late_arrivals" if all(one.is_late_arrival for one in changes) else "changed"


def _is_late_arrival(before: Mapping[str, Any] | None, mine: Sequence[Statement]) -> bool:
    """Whether the player was not weighed when it was signed, and all since is late work."""
    was_weighed = before is not None and before["basis"] not in ("none", "declared")
    weighed = any(one.kind == "late_weigh" for one in mine)
    return weighed and not was_weighed and all(map(_is_late_work, mine))


def _is_late_work(statement: Statement) -> bool:
    is_other_line = statement.kind == "list" and statement.says["reason"] != "over"
    return (
        statement.kind in _LATE_WORK
        and statement.stands
        and not statement.is_behind
        and not is_other_line
    )


def _about(
    player: str, row: Mapping[str, Any], later: _Later, rows: Sequence[Mapping[str, Any] | None]
) -> tuple[Statement, ...]:
    """What changed this player's part: weighs, lines and rulings; else the roster or the book; else
    what moves a whole game."""
    by_book = any(one is not None and one["basis"] == "book" for one in rows)
    mine = [(statement, base) for statement, base in later if base.player == player]
    own = [one for one, base in mine if _is_own(base, row, ON_LIST)]
    around = [
        one
        for one, base in mine
        if (base.kind in ROSTER_CHANGES and base.team == row["team"])
        or (base.kind == "initial" and by_book)
    ]
    of_game = [one for one, base in later if base.kind in GAME_ON_LIST and base.game == row["game"]]
    return tuple(own or around or of_game)


def _is_own(statement: Statement, row: Mapping[str, Any], kinds: Collection[str]) -> bool:
    return (statement.game, statement.team) == (
        row["game"],
        row["team"],
    ) and statement.kind in kinds


def _number(player: str, *contents: Mapping[str, tuple[Any, Sequence[Any]]]) -> int | None:
    for content in contents:
        row, lines = content.get(player, (None, []))
        for one in (row, *lines):
            if one is not None and one["number"] is not None:
                return int(one["number"])
    return None


def _order(
    player: str, *contents: Mapping[str, tuple[Any, Sequence[Any]]]
) -> tuple[bool, int, str]:
    number = _number(player, *contents)
    return number is None, number or 0, player
