"""What a ledger contains: league, chains, teams, games, and signed lists."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ledger.chain.event import Event
from ledger.derive.engine import Engine
from ledger.derive.game_state import GameState, game_states
from ledger.derive.scope import read_game, read_season
from ledger.derive.signatures import Signatures, SignedList
from ledger.record.corrections import is_correction, rows_that_count
from ledger.record.kinds import SETUP
from ledger.record.times import now_utc
from ledger.record.withdrawals import withdrawn
from ledger.store.league import league_zone
from ledger.store.store import Store, Stored
from ledger.store.withdrawals import with_withdrawals
from ledger.witness.witnessed import witnessed


@dataclass(frozen=True)
class ChainHeld:
    """A chain: its name, length and head (hex); how many events at its end have no
    countersignature yet, and since when (UTC text, None if all have one).
    """

    chain: str
    length: int
    head: str
    unwitnessed: int
    since: str | None


@dataclass(frozen=True)
class TeamHeld:
    """A row of teams.csv."""

    team: str
    name: str
    division: str
    association: str | None


@dataclass(frozen=True)
class Status:
    """What a ledger contains. Games are in order of kickoff, as they stand now.

    `entries` counts the statements about each game. `signed` maps a game to its signed lists by
    (game, team); a game signed only on the sheet has none. `corrections` are those of tables, in
    ledger order. `closed_at` is when the season was closed, None if it is open.
    """

    league: str
    season: str
    zone: str
    chains: tuple[ChainHeld, ...]
    teams: tuple[TeamHeld, ...]
    games: tuple[GameState, ...]
    entries: Mapping[str, int]
    signed: Mapping[str, Mapping[tuple[str, str], Sequence[SignedList]]]
    corrections: tuple[Event, ...]
    closed_at: str | None


def status(store: Store) -> Status:
    """Read what the ledger contains now."""
    held: dict[str, list[Event]] = defaultdict(list)
    read = [stored.event for stored in store.events(kind=SETUP)]
    for event in rows_that_count(read):
        held[event.kind].append(event)
    rows = Counter(event.game for event in read)
    corrections = tuple(event for event in read if is_correction(event))
    league = held["league"][0].data
    counts = store.count_by_game()
    # Less the row of games.csv itself, and its corrections.
    entries = {str(e.game): counts[str(e.game)] - rows[e.game] for e in held["game"]}
    return Status(
        league["name"],
        league["season"],
        league["time_zone"],
        tuple(_chains(store)),
        tuple(_team(event) for event in held["team"]),
        _games(list(read_season(store)), league["time_zone"]),
        entries,
        _signed(store),
        corrections,
        _closed_at(store),
    )


def game_status(store: Store, game: str) -> tuple[GameState, str]:
    """Where one game stands now, and the league's time zone; InputError for an unknown game."""
    zone = league_zone(store)
    (state,) = _games(read_game(store, game), zone, game)
    return state, zone


def _games(events: Sequence[Stored], zone: str, game: str | None = None) -> tuple[GameState, ...]:
    engine = Engine(events)
    states = game_states(engine, now=now_utc(), zone=zone, game=game)
    engine.close()
    return tuple(states)


def _chains(store: Store) -> list[ChainHeld]:
    covered, found = witnessed(store), []
    for chain, length in store.lengths().items():
        tail = length - covered.get(chain, 0)
        first = store.events_by_id([f"{chain}:{length - tail + 1}"] if tail else [])
        since = next((stored.event.recorded for stored in first), None)
        found.append(ChainHeld(chain, length, store.head(chain).hash.hex(), tail, since))
    return found


def _closed_at(store: Store) -> str | None:
    events = [stored.event for stored in store.events(kind=["season_close"])]
    more = (one for one in with_withdrawals(store, events) if one.kind == "withdraw")
    gone = withdrawn((one.id, one.data["target"]) for one in more)
    return min((str(one.at) for one in events if one.id not in gone), default=None)


def _team(event: Event) -> TeamHeld:
    data = event.data
    return TeamHeld(str(event.team), data["name"], data["division"], data.get("association"))


def _signed(store: Store) -> dict[str, Mapping[tuple[str, str], Sequence[SignedList]]]:
    how: dict[str, set[str]] = defaultdict(set)
    for stored in store.events(kind=["countersign"]):
        how[stored.event.game or ""].add(stored.event.data.get("how", "sheet"))
    return {game: {} if how[game] == {"sheet"} else _of_game(store, game) for game in sorted(how)}


def _of_game(store: Store, game: str) -> Mapping[tuple[str, str], Sequence[SignedList]]:
    events = read_game(store, game)
    engine = Engine(events)
    signed = Signatures(engine, events).all()
    engine.close()
    return signed
