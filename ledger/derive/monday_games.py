"""A day's games on the Monday after: what went well in each, and until when the rest can wait."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger.derive.days import GameDay
from ledger.derive.engine import Engine
from ledger.derive.looking import Row
from ledger.derive.rule_header import AREAS, rule_header


@dataclass(frozen=True)
class GameWeek:
    """A game, and what it leaves.

    `well` are the parts of the procedure without a finding; none if nobody was weighed. Of the
    others, `elsewhere` are those whose findings all concern another association; `lacks_check` if
    the scale's has none, as no check of it passed. `next` is
    the next kickoff of one of its teams (UTC text) with its game, `protest_until` when a protest is
    due; None if there is none, or if the end of half 2 was not entered.
    """

    game: str
    kickoff: str
    home: str
    visitor: str
    is_off: bool
    is_weighed: bool
    well: tuple[str, ...]
    elsewhere: tuple[str, ...]
    lacks_check: bool
    next: tuple[str, str] | None
    protest_until: str | None


def areas_by_game(findings: Sequence[Row]) -> defaultdict[str, set[str]]:
    """By game, the parts of the procedure that these findings say something of."""
    found: defaultdict[str, set[str]] = defaultdict(set)
    for row in findings:
        found[row["game"]] |= areas_of(row["rule"])
    return found


def areas_of(rule: str) -> set[str]:
    """The parts of the procedure that a finding of the rule says something of."""
    header = rule_header(rule)
    return {header.area, *header.also}


def game_weeks(
    engine: Engine,
    day: GameDay,
    troubled: Mapping[str, set[str]],
    told_of: Mapping[str, set[str]],
) -> tuple[GameWeek, ...]:
    """The games of a day; by game, `troubled` are the parts that did not go well, `told_of` those
    of them about which the page has an item.
    """
    rows = {row["game"]: row for row in engine.answer("game").dicts()}
    states = {row["game"]: row for row in engine.answer("season_game").dicts()}
    ended = {row["game"]: row["due_at"] for row in engine.answer("protest_until").dicts()}
    found = []
    for game in day.games:
        row, state = rows[game], states[game]
        trouble = troubled.get(game, set())
        without = {"scale"} if not state["is_proved"] else set()
        well = [area for area in AREAS if area not in trouble | without]
        elsewhere = trouble - told_of.get(game, set())
        found.append(
            GameWeek(
                game=game,
                kickoff=row["kickoff_at"],
                home=row["home"],
                visitor=row["visitor"],
                is_off=row["is_off"],
                is_weighed=state["is_weighed"],
                well=tuple(well) if state["is_weighed"] else (),
                elsewhere=tuple(area for area in AREAS if area in elsewhere),
                lacks_check=bool(without) and state["is_weighed"] and "scale" not in trouble,
                next=_next(rows.values(), row),
                protest_until=ended.get(game),
            )
        )
    return tuple(found)


def _next(rows: Any, game: Row) -> tuple[str, str] | None:
    """The first later kickoff of one of the game's teams."""
    teams = {game["home"], game["visitor"]}
    later = [
        (row["kickoff_at"], row["game"])
        for row in rows
        if row["kickoff_at"] > game["kickoff_at"]
        and not row["is_off"]
        and teams & {row["home"], row["visitor"]}
    ]
    return min(later, default=None)
