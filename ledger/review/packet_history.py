"""A player's marks and weighs in all games of the division, and which of them decided.

A packet prints the history in short, and the decisive statements in full.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger.derive.engine import Engine
from ledger.derive.scope import read_games
from ledger.derive.statements import Statement
from ledger.record.kinds import MARKS, ON_LIST, ROSTER, WEIGHS
from ledger.store.store import Store, Stored

Row = Mapping[str, Any]
_OF_GAME = frozenset({*MARKS, *ON_LIST})


@dataclass(frozen=True)
class GameHistory:
    """A player in one game: weighs and initials that stand, and the row of eligibility.

    `kickoff` is UTC text. `row` is None for a player without one; a game that `is_off` has none.
    `is_first_mark` is true if the book mark, which later games go by, was made here.
    """

    game: str
    kickoff: str
    team: str
    player: str
    number: int | None
    weighs: tuple[Statement, ...]
    marks: tuple[Statement, ...]
    row: Row | None
    is_first_mark: bool
    is_off: bool

    @property
    def events(self) -> frozenset[str]:
        shown = {one.event for one in (*self.weighs, *self.marks)}
        return frozenset(shown.union(self.row["events"] if self.row else ()))

    @property
    def decisive(self) -> frozenset[str]:
        """The book mark, and the weighs that it must agree with."""
        shown = (*self.weighs, *self.marks) if self.is_first_mark else ()
        return frozenset(one.event for one in shown)


def games_of(store: Store, players: Collection[str], divisions: Collection[str]) -> list[str]:
    """The games of these players' teams in these divisions, and others that name them there.

    Without divisions, all. Left out is a game in which nothing was stated of these players and
    nobody was weighed.
    """
    whose = sorted(players)
    teams = {one.event.team for one in store.events(kind=ROSTER, player=whose)}
    stated = {one.event.game for one in store.events(player=whose)}
    found = []
    for event in (one.event for one in store.events(kind=["game"])):
        is_theirs = event.game in stated or teams & {event.data["home"], event.data["visitor"]}
        if is_theirs and (not divisions or event.data["division"] in divisions):
            found.append(str(event.game))
    weighed = {one.event.game for one in store.events(kind=WEIGHS, game=found)}
    return [game for game in dict.fromkeys(found) if game in weighed | stated]


def read_history(
    store: Store,
    stored: Iterable[Stored],
    games: Sequence[str],
    *,
    as_of: str | None = None,
    known_at: str | None = None,
) -> list[Stored]:
    """A case's events with those of these games."""
    more = read_games(store, games, as_of=as_of, known_at=known_at) if games else ()
    return sorted({*stored, *more})


def trace_history(
    engine: Engine, statements: Iterable[Statement], games: Sequence[str], players: Collection[str]
) -> tuple[GameHistory, ...]:
    """The history of these players in these games, by player and kickoff; all were read whole."""
    rows = {
        (row["game"], row["team"], row["player"]): row
        for row in engine.answer("eligibility").dicts()
        if row["player"] in players
    }
    own: dict[tuple[str, str, str], list[Statement]] = {}
    for one in statements:
        if one.player in players and one.stands and one.kind in _OF_GAME and one.game and one.team:
            own.setdefault((one.game, one.team, str(one.player)), []).append(one)
    is_weighed = {row["game"] for row in engine.answer("game_weighed").dicts()}
    first_marks = _first_marks(engine)
    found = []
    for game in _by_kickoff(engine, games):
        for key in sorted(key for key in rows.keys() | own.keys() if key[0] == game["game"]):
            mine = sorted(own.get(key, ()), key=lambda one: (one.happened, one.position))
            if not mine and game["game"] not in is_weighed:
                continue
            row = rows.get(key)
            marks = tuple(one for one in mine if one.kind == "initial")
            found.append(
                GameHistory(
                    *(game["game"], game["kickoff_at"], key[1], key[2]),
                    number=row["number"] if row else None,
                    weighs=tuple(one for one in mine if one.kind in WEIGHS),
                    marks=marks,
                    row=row,
                    is_first_mark=any(one.position in first_marks for one in marks),
                    is_off=bool(game["is_off"]),
                )
            )
    return tuple(sorted(found, key=lambda one: one.player))


def _first_marks(engine: Engine) -> set[int]:
    """The positions of every player's first initial in each division."""
    first: dict[tuple[str, str], dict[str, Any]] = {}
    for row in engine.answer("mark").dicts():
        key = row["division"], row["player"]
        if key not in first or row["happened_rank"] < first[key]["happened_rank"]:
            first[key] = row
    return {row["position"] for row in first.values()}


def _by_kickoff(engine: Engine, games: Collection[str]) -> list[dict[str, Any]]:
    rows = [row for row in engine.answer("game").dicts() if row["game"] in games]
    return sorted(rows, key=lambda row: (row["kickoff_at"], row["game"]))
