"""What a protest adds to a packet: both sides' words, their counts, and what a ruling would do.

Nothing here reads meaning into a note; that is for people. A ruling is tried in memory only.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from ledger.derive.engine import Engine
from ledger.record.kinds import CASE_TELLS
from ledger.review.packet import Packet
from ledger.review.rulings import rulings_of
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
"""No official can have this id."""
COMPARED = ("may_play", "may_carry", "due_for", "required", "recorded", "short", "status")
"""The columns that count as a difference; another basis alone does not."""
Row = Mapping[str, Any]


@dataclass(frozen=True)
class Count:
    """A player's plays in a half: each official's latest count."""

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
    """A row that would differ; `before` and `after` have the columns of both answers."""

    team: str
    player: str
    number: int | None
    before: Mapping[str, Any]
    after: Mapping[str, Any]


@dataclass(frozen=True)
class Tried:
    """A ruling tried for a player in a game: the player's row before, and what would change."""

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
    """`said` is what people said or handed in, by side; `left_out` counts players not tried.

    `unruled` are the rows of the players tried, by game, team and player, as they would be without
    the rulings of this case; empty if none counts.
    """

    said: Mapping[Side, tuple[TimelineEntry, ...]]
    counts: tuple[Count, ...]
    tried: tuple[Tried, ...]
    left_out: int
    unruled: Mapping[tuple[str, str, str], Row]


def build_protest(packet: Packet) -> Protest:
    """Return what a protest packet adds; every possible ruling takes another run of the engine."""
    said: dict[Side, list[TimelineEntry]] = {"visitor": [], "home": [], "both": [], "neither": []}
    for shown in packet.timeline:
        if shown.is_own and shown.statement.kind in ("case_open", *CASE_TELLS):
            said[side_of(packet, shown.statement.by)].append(shown)
    return Protest(
        said={side: tuple(found) for side, found in said.items()},
        counts=_counts(packet.timeline, packet.asked),
        tried=tuple(_try_all(packet)),
        left_out=max(0, len(_asked_rows(packet)) - MOST_PLAYERS),
        unruled=_without_rulings(packet),
    )


def side_of(packet: Packet, official: str) -> Side:
    """Return the side of the question's game that an official speaks for, by role."""
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
    return "both" if len(held) == 2 else next(iter(held), "neither")


def _asked_rows(packet: Packet) -> list[tuple[str, str, str]]:
    """Game, team and player of every row that the question is about, by number."""
    return [
        (table.game, table.team, row.player)
        for table in packet.compared
        for row in table.rows
        if row.is_asked and row.now
    ]


def _counts(timeline: Iterable[TimelineEntry], asked: frozenset[str]) -> tuple[Count, ...]:
    latest: dict[tuple[str, str, str, int], dict[str, int]] = {}
    plays = [one.statement for one in timeline if one.statement.kind == "plays"]
    for one in sorted(plays, key=lambda one: (one.entered, one.position)):
        if one.stands and one.player in asked:
            key = str(one.game), str(one.team), str(one.player), int(one.says["half"])
            latest.setdefault(key, {})[one.by] = one.says["count"]
    return tuple(
        Count(*key, dict(sorted(by.items()))) for key, by in sorted(latest.items()) if len(by) > 1
    )


def _without_rulings(packet: Packet) -> dict[tuple[str, str, str], Row]:
    own = {one.event_id for one in rulings_of(packet.case)}
    if not own:
        return {}
    stored = [one for one in packet.stored if one.id not in own]
    asked = _asked_rows(packet)[:MOST_PLAYERS]
    rows = {game: _answers(packet, stored, game) for game in {game for game, *_ in asked}}
    return {
        (game, team, player): rows[game][team, player]
        for game, team, player in asked
        if (team, player) in rows[game]
    }


def _try_all(packet: Packet) -> list[Tried]:
    if packet.case.state == "withdrawn":  # its opening does not count, so nobody may rule on it
        return []
    asked = _asked_rows(packet)[:MOST_PLAYERS]
    before = {game: _answers(packet, packet.stored, game) for game in {game for game, *_ in asked}}
    return [
        _try(packet, before[one[0]], one, key, value) for one in asked for key, value in RULINGS
    ]


def _try(
    packet: Packet,
    before: Mapping[tuple[str, str], Row],
    about: tuple[str, str, str],
    key: str,
    value: str,
) -> Tried:
    game, team, player = about
    after = _answers(packet, [*packet.stored, *_ruling(packet, about, {key: value})], game)
    changed = tuple(
        Changed(*where, row["number"], before[where], row)
        for where, row in after.items()
        if any(row[name] != before[where][name] for name in COMPARED)
    )
    number = packet.numbers_of.get(about)
    return Tried(*about, number, key, value, before[team, player], changed)


def _answers(packet: Packet, stored: Sequence[Stored], game: str) -> dict[tuple[str, str], Row]:
    """The columns of both answers by team and player, in the order of eligibility."""
    engine = Engine(stored, as_of=packet.as_of, known_at=packet.known_at)
    rows: dict[tuple[str, str], dict[str, Any]] = {}
    for row in engine.answer("eligibility", game=game).dicts():
        rows[row["team"], row["player"]] = row
    for row in engine.answer("exposure", game=game).dicts():
        # may_play of exposure follows other rulings than that of eligibility.
        rows[row["team"], row["player"]] |= {"due_for": row["may_play"]} | {
            name: row[name] for name in ("required", "recorded", "short", "status")
        }
    engine.close()
    return dict(rows)


def _ruling(
    packet: Packet, about: tuple[str, str, str], decided: Mapping[str, str]
) -> list[Stored]:
    """A ruling by a reviewer, entered after everything else, in the chain of the opening."""
    events = packet.events.values()
    entered = packet.as_of or max(event.entered for event in events if event.entered)
    recorded = packet.known_at or max(event.recorded for event in events)
    chain = packet.case.opening.event_id.rpartition(":")[0]
    common = {"v": 1, "chain": chain, "recorded": recorded}
    clock = max(recorded, packet.stored[-1].clock)
    role = {"official": _REVIEWER, "role": packet.case.reviewers[0].role}
    case = {"case": packet.case.case_id, "value": "decided"}
    subject = dict(zip(("game", "team", "player"), about, strict=True))
    made: tuple[dict[str, Any], ...] = (
        {"kind": "official", "data": role},
        {"kind": "ruling", "data": case | dict(decided), "by": _REVIEWER, "at": entered,
         "entered": entered, **subject},
    )  # fmt: skip
    return [
        Stored(clock, chain, seq, json.dumps(common | {"seq": seq} | body))
        for seq, body in enumerate(made, 2**40)
    ]
