"""Who wore which number: a player's numbers and a number's players, game by game.

From the rosters at kickoff, their changes, and the numbers that people entered.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace

from ledger.derive.engine import Engine
from ledger.derive.statements import Statement, all_statements
from ledger.record.kinds import ROSTER, ROSTER_CHANGES, SCHEDULE, TAKES_PART
from ledger.review.packet_leads import Lead, Places, trace_leads
from ledger.store.store import Store

MOST = 8
"""The most players, and the most numbers, to follow."""


@dataclass(frozen=True)
class Worn:
    """A player in a game: the number on the roster at kickoff, and the `stated` ones.

    `on_roster` is None off the roster and for a player without a number; `is_on` says which.
    """

    team: str
    player: str
    is_on: bool
    on_roster: int | None
    stated: tuple[int, ...]


@dataclass(frozen=True)
class GameNumbers:
    """A game at its kickoff (UTC text), and who wore which of these numbers in it."""

    game: str
    at: str
    worn: tuple[Worn, ...]


@dataclass(frozen=True)
class Move:
    """A roster change; `kind` is roster_add, roster_drop, number_change or enter_player."""

    event: str
    at: str
    kind: str
    team: str
    player: str
    number: int | None


@dataclass(frozen=True)
class Numbers:
    """The history of these players and numbers; `events` are what it rests on.

    `players` are those asked about, then their namesakes. `leads` are for the game in question.
    """

    players: tuple[str, ...]
    numbers: tuple[int, ...]
    steps: tuple[GameNumbers | Move, ...]
    left_out: int
    events: frozenset[str]
    leads: tuple[Lead, ...] = ()


def trace_numbers(
    store: Store,
    teams: Collection[str],
    asked: Collection[str],
    *,
    namesakes: Mapping[str, Collection[str]] | None = None,
    game: str | None = None,
    as_of: str | None = None,
    known_at: str | None = None,
) -> Numbers:
    """Trace the numbers of `asked` in all games of these teams and of any team they were on.

    `namesakes` are others of the same name, by player. `game` is the one in question.
    """
    namesakes = namesakes or {}
    others = frozenset[str]().union(*namesakes.values())
    theirs, more = _teams_of(store, asked), _teams_of(store, others)
    own, teams = {*teams, *theirs}, sorted({*teams, *theirs, *more})
    stored = {*store.events(kind=["league", "division", "withdraw"])}
    stored |= {*store.events(kind=["team", *ROSTER], team=teams, outside_games=["yes"])}
    games = games_of_teams(store, teams)
    stored |= {*store.events(kind=[*SCHEDULE, *TAKES_PART], game=games)}
    engine = Engine(sorted(stored), as_of=as_of, known_at=known_at)
    found = _trace(engine, own, frozenset(teams), frozenset(asked), namesakes, game)
    engine.close()
    shown = {one.player for step in found.steps if isinstance(step, GameNumbers)
             for one in step.worn}  # fmt: skip
    brought_in = store.events(kind=["player"], team=teams, player=sorted(shown))
    return replace(found, events=found.events | {one.event.id for one in brought_in})


def _teams_of(store: Store, players: Collection[str]) -> set[str]:
    if not players:
        return set()
    events = (one.event for one in store.events(kind=ROSTER, player=sorted(players)))
    return {event.team for event in events if event.team}


def games_of_teams(store: Store, teams: Collection[str]) -> list[str]:
    """Every game that one of these teams plays."""
    every_game = (one.event for one in store.events(kind=["game"]))
    return sorted(str(e.game) for e in every_game if {e.data["home"], e.data["visitor"]} & {*teams})


def _trace(
    engine: Engine,
    own: Collection[str],
    teams: Collection[str],
    asked: frozenset[str],
    namesakes: Mapping[str, Collection[str]],
    game: str | None,
) -> Numbers:
    """`own` are the teams whose numbers are followed; of the others only these players are."""
    statements = [one for one in all_statements(engine) if one.stands and one.team in teams]
    rosters = {
        (row["game"], row["team"], row["player"]): row["number"]
        for row in engine.answer("roster").dicts()
        if row["team"] in teams
    }
    stated = _stated(statements)
    moved = {
        row["number"] for row in engine.answer("roster_move").dicts() if row["player"] in asked
    }
    called = {number for key, given in stated.items() if key[2] in asked for number in given}
    every = sorted((moved | called) - {None})
    held = [(key[2], number) for key, given in stated.items() for number in given]
    held += [(player, number) for (_, _, player), number in rosters.items() if number is not None]

    def by_number(player: str) -> tuple[int, str]:
        return min((number for who, number in held if who == player), default=100), player

    others = sorted(frozenset[str]().union(*namesakes.values()))
    ours = [*sorted(asked, key=by_number), *others]
    players, numbers = ours[:MOST], every[:MOST]
    rests_on: set[str] = set()
    worn: dict[str, list[Worn]] = {}
    for key in sorted(rosters.keys() | stated.keys()):
        at, team, player = key
        given = stated.get(key, {})
        if player in players or (team in own and {*given, rosters.get(key)} & set(numbers)):
            one = Worn(team, player, key in rosters, rosters.get(key), tuple(sorted(given)))
            worn.setdefault(at, []).append(one)
            rests_on |= set(given.values())
    games = [
        GameNumbers(row["game"], row["kickoff_at"], tuple(worn[row["game"]]))
        for row in engine.answer("game").dicts()
        if row["game"] in worn
    ]
    moves = [
        Move(t.event, t.happened, t.kind, str(t.team), t.player, t.says.get("number"))
        for t in statements
        if t.kind in ROSTER_CHANGES and t.player
        if t.player in players or (t.team in own and t.says.get("number") in numbers)
    ]
    rests_on |= {move.event for move in moves}
    now = {(row["team"], row["player"]): row["number"] for row in engine.answer("book").dicts()}
    places = Places(rosters, stated, now)
    return Numbers(
        players=tuple(players),
        numbers=tuple(numbers),
        steps=tuple(sorted([*games, *moves], key=lambda step: (step.at, isinstance(step, Move)))),
        left_out=len(ours) - len(players) + len(every) - len(numbers),
        events=frozenset(rests_on),
        leads=trace_leads(places, game, players, namesakes) if game else (),
    )


def _stated(statements: Iterable[Statement]) -> dict[tuple[str, str, str], dict[int, str]]:
    """The numbers that people entered for a player in a game, each with the first event."""
    stated: dict[tuple[str, str, str], dict[int, str]] = {}
    for one in statements:
        if one.game and one.team and one.player and "number" in one.says:
            given = stated.setdefault((one.game, one.team, one.player), {})
            given.setdefault(one.says["number"], one.event)
    return stated
