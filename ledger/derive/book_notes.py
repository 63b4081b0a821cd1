"""What to look at before a mark in the book is relied on."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from ledger.derive.engine import Engine
from ledger.derive.findings import find
from ledger.derive.looking import Row

Kind = Literal["moved", "own_side", "differs", "ruled"]
_RULES: Mapping[str, Kind] = {"initialed_by_own_side": "own_side", "book_mark_differs": "differs"}


@dataclass(frozen=True, slots=True)
class MarkNote:
    """A mark for another team, a fault of the mark, or a ruling about carrying.

    `game` is the mark's or the ruling's, a game of the division. A ruling says yes or no. `team`
    and `number` are those of a player who has moved since.
    """

    kind: Kind
    game: str
    may_carry: str = ""
    team: str = ""
    number: int | None = None


def mark_notes(engine: Engine, team: str) -> Mapping[str, tuple[MarkNote, ...]]:
    """The notes by player, over the events of `scope.read_book_notes`; none is an empty tuple."""
    notes: dict[str, list[MarkNote]] = defaultdict(list)
    book = engine.answer("book", team=team).dicts()
    marked = {(row["player"], row["game"], row["at"]) for row in book}
    for player, note in _moved(engine, team, marked):
        notes[player].append(note)
    for row in find(engine, among=_RULES).dicts():
        if (row["player"], row["game"], row["at"]) in marked:
            notes[row["player"]].append(MarkNote(_RULES[row["rule"]], row["game"]))
    for player, note in _rulings(engine, team):
        notes[player].append(note)
    return defaultdict(tuple, {player: tuple(many) for player, many in notes.items()})


def marks_since(engine: Engine, rows: Iterable[Row]) -> dict[tuple[str, str], Row]:
    """By game and player, the first mark of those whose first game was not marked, if one came."""
    divisions = {row["game"]: row["division"] for row in engine.answer("game").dicts()}
    first: dict[tuple[str, str], Row] = {}
    for row in sorted(engine.answer("mark").dicts(), key=lambda row: int(row["happened_rank"])):
        first.setdefault((row["division"], row["player"]), row)
    lacking = [(row["game"], row["player"]) for row in rows if row["rule"] == "book_not_initialed"]
    return {
        (game, player): first[divisions[game], player]
        for game, player in lacking
        if (divisions[game], player) in first
    }


def _moved(
    engine: Engine, team: str, marked: set[tuple[str, str, str]]
) -> list[tuple[str, MarkNote]]:
    """The players whose mark is for another team, with their number there."""
    numbers = {
        (row["game"], row["team"], row["player"]): row["number"]
        for row in engine.answer("roster").dicts()
    }
    return [
        (player, MarkNote("moved", game, team=other, number=numbers.get((game, other, player))))
        for row in engine.answer("mark").dicts()
        for player, game, other in [(row["player"], row["game"], row["team"])]
        if other != team and (player, game, row["happened_at"]) in marked
    ]


def _rulings(engine: Engine, team: str) -> list[tuple[str, MarkNote]]:
    """For each player and game of the team's division the latest ruling on who may carry."""
    divisions = {row["team"]: row["division"] for row in engine.answer("team").dicts()}
    games = {
        row["game"]: row["kickoff_at"]
        for row in engine.answer("game").dicts()
        if row["division"] == divisions[team]
    }
    latest: dict[tuple[str, str], MarkNote] = {}
    rows = [row for row in engine.answer("ruling").dicts() if row["game"] in games]
    for row in sorted(rows, key=lambda row: int(row["entered_rank"])):
        if row["may_carry"]:
            note = MarkNote("ruled", row["game"], row["may_carry"])
            latest[row["player"], row["game"]] = note
    ordered = sorted(latest.items(), key=lambda one: (games[one[0][1]], one[0]))
    return [(player, note) for (player, _), note in ordered]
