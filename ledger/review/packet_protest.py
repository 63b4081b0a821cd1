"""What a protest adds to a packet: both sides' words, what both stated alike, what a ruling does.

What the ledger cannot tell is left to people: nothing here reads meaning into a note. A ruling is
tried out on a copy in memory; nothing is written.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from ledger.derive.engine import Engine
from ledger.record.kinds import CASE_TELLS
from ledger.review.packet import Packet
from ledger.review.timeline import TimelineEntry
from ledger.store.store import Stored

Side = Literal["visitor", "home", "both", "neither"]
MOST_PLAYERS = 3
RULINGS = (
    ("may_play", "full"),
    ("may_play", "second_half"),
    ("may_play", "none"),
    ("may_carry", "yes"),
    ("may_carry", "no"),
)
_REVIEWER = "(a reviewer)"
"""No id of an official can be written like this."""
COMPARED = ("may_play", "may_carry", "due_for", "required", "recorded", "short", "status")
"""Columns in which a row may differ; a basis alone is no difference."""
Row = Mapping[str, Any]


@dataclass(frozen=True)
class Count:
    """How often a player played in a half, as each official counted last."""

    game: str
    team: str
    player: str
    half: int
    by: Mapping[str, int]

    @property
    def alike(self) -> bool:
        return len(set(self.by.values())) == 1


@dataclass(frozen=True)
class Changed:
    """A row that would differ; `before` and `after` hold both answers' columns."""

    team: str
    player: str
    number: int | None
    before: Mapping[str, Any]
    after: Mapping[str, Any]


@dataclass(frozen=True)
class Tried:
    """A ruling tried out for a player in a game: the player's row before, and what would change."""

    game: str
    team: str
    player: str
    number: int | None
    key: str
    value: str
    before: Mapping[str, Any]
    changed: tuple[Changed, ...]


@dataclass(frozen=True)
class Protest:
    """`said` is what people said or handed in, by side; `left_out` players were not tried."""

    said: Mapping[Side, tuple[TimelineEntry, ...]]
    counts: tuple[Count, ...]
    tried: tuple[Tried, ...]
    left_out: int


def build_protest(packet: Packet) -> Protest:
    """What a protest packet adds; it asks the engine again for every ruling there could be."""
    said: dict[Side, list[TimelineEntry]] = {"visitor": [], "home": [], "both": [], "neither": []}
    for shown in packet.timeline:
        if shown.is_own and shown.statement.kind in ("case_open", *CASE_TELLS):
            said[side_of(packet, shown.statement.by)].append(shown)
    return Protest(
        said={side: tuple(found) for side, found in said.items()},
        counts=_counts(packet.timeline, packet.asked),
        tried=tuple(_try_all(packet)),
        left_out=max(0, len(_whom(packet)) - MOST_PLAYERS),
    )


def side_of(packet: Packet, official: str) -> Side:
    """For which side of the question's game an official speaks, by the roles held."""
    if not packet.games:
        return "neither"
    game = packet.games[0]
    teams = {
        row["team"]
        for row in packet.roles
        if row["official"] == official and row["game"] in (None, game["game"])
    }
    sides: tuple[Side, ...] = ("visitor", "home")
    held = [side for side in sides if game[side] in teams]
    if len(held) == 2:
        return "both"
    return held[0] if held else "neither"


def _whom(packet: Packet) -> list[tuple[str, str, str]]:
    """Game, team and player of every row that the question is about."""
    return sorted(
        (table.game, table.team, row.player)
        for table in packet.compared
        for row in table.rows
        if row.is_asked and row.now
    )


def _counts(timeline: Iterable[TimelineEntry], asked: frozenset[str]) -> tuple[Count, ...]:
    latest: dict[tuple[str, str, str, int], dict[str, TimelineEntry]] = {}
    for shown in timeline:
        statement = shown.statement
        if statement.kind == "plays" and statement.stands and statement.player in asked:
            key = (
                str(statement.game),
                str(statement.team),
                str(statement.player),
                int(statement.says["half"]),
            )
            held = latest.setdefault(key, {})
            before = held.get(statement.by)
            place = statement.entered, statement.position
            if before is None or place > (before.statement.entered, before.statement.position):
                held[statement.by] = shown
    return tuple(
        Count(*key, {by: one.statement.says["count"] for by, one in sorted(held.items())})
        for key, held in sorted(latest.items())
        if len(held) > 1
    )


def _try_all(packet: Packet) -> list[Tried]:
    if packet.case.state == "withdrawn":  # its opening does not count: nobody may rule on it
        return []
    whom = _whom(packet)[:MOST_PLAYERS]
    before = {game: _answers(packet, packet.stored, game) for game in {game for game, *_ in whom}}
    now = _after_all(packet)
    return [one for game, *who in whom for one in _try(packet, now, before[game], game, *who)]


def _try(
    packet: Packet,
    now: tuple[str, str],
    before: Mapping[tuple[str, str], Row],
    game: str,
    team: str,
    player: str,
) -> list[Tried]:
    number = packet.numbers_of.get((game, team, player))
    own, tried = before[team, player], []
    for key, value in RULINGS:
        about = {"game": game, "team": team, "player": player}
        after = _answers(packet, [*packet.stored, *_ruling(packet, now, about, {key: value})], game)
        changed = tuple(
            Changed(*place, row["number"], before[place], row)
            for place, row in after.items()
            if any(row[name] != before[place][name] for name in COMPARED)
        )
        tried.append(Tried(game, team, player, number, key, value, own, changed))
    return tried


def _answers(packet: Packet, stored: Sequence[Stored], game: str) -> dict[tuple[str, str], Row]:
    """Both answers' columns by team and player, in the order of eligibility."""
    engine = Engine(stored, as_of=packet.as_of, known_at=packet.known_at)
    rows: dict[tuple[str, str], dict[str, Any]] = {}
    for row in engine.answer("eligibility", game=game).dicts():
        rows[row["team"], row["player"]] = row
    for row in engine.answer("exposure", game=game).dicts():
        # may_play of exposure heeds other rulings than that of eligibility.
        rows[row["team"], row["player"]] |= {"due_for": row["may_play"]} | {
            name: row[name] for name in ("required", "recorded", "short", "status")
        }
    engine.close()
    return dict(rows)


def _after_all(packet: Packet) -> tuple[str, str]:
    """When a ruling could be entered and recorded that comes after everything in the packet."""
    events = packet.events.values()
    entered = packet.as_of or max(event.entered for event in events if event.entered)
    return entered, packet.known_at or max(event.recorded for event in events)


def _ruling(
    packet: Packet, now: tuple[str, str], about: Mapping[str, str], decided: Mapping[str, str]
) -> list[Stored]:
    """A ruling by a reviewer of the case, entered last, in the chain where the case was opened."""
    moment, recorded = now
    chain = packet.case.opening.event_id.rpartition(":")[0]
    common = {"v": 1, "chain": chain, "recorded": recorded}
    clock = max(recorded, packet.stored[-1].clock)
    role = {"official": _REVIEWER, "role": packet.case.reviewers[0].role}
    case = {"case": packet.case.case_id, "value": "decided"}
    made: tuple[dict[str, Any], ...] = (
        {"kind": "official", "data": role},
        {"kind": "ruling", "data": case | dict(decided), "by": _REVIEWER, "at": moment,
         "entered": moment, **about},
    )  # fmt: skip
    return [
        Stored(clock, chain, seq, json.dumps(common | {"seq": seq} | body))
        for seq, body in enumerate(made, 2**40)
    ]
