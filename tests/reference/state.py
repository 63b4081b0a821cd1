"""Which statements count, and what the season looks like through them.

A `Season` is made from the whole ledger (event dicts in ledger order) and an optional as-of and
known-at moment, both fixed-width UTC text. It answers: the statements that count, kickoffs, roles,
rosters. It decides nothing about eligibility.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

SET_UP = frozenset({"league", "division", "team", "player", "official", "game"})
WEIGHED = ("weigh", "late_weigh")
THE_BEGINNING = ""  # sorts before every moment
THE_END = "~"  # sorts after every moment


@dataclass(frozen=True)
class Statement:
    """One event that is not set-up. `position` is its place in the ledger order."""

    id: str
    position: int
    kind: str
    at: str
    entered: str
    recorded: str
    by: str
    game: str | None
    team: str | None
    player: str | None
    data: Mapping[str, Any]

    @property
    def value(self) -> Any:
        return self.data.get("value")

    @property
    def reason(self) -> Any:
        return self.data.get("reason")


@dataclass(frozen=True)
class Game:
    """A game as games.csv and game_change have it. `kickoff` is UTC text."""

    id: str
    division: str
    home: str
    visitor: str
    kickoff: str
    is_off: bool

    @property
    def teams(self) -> tuple[str, str]:
        return (self.home, self.visitor)

    def opponent(self, team: str) -> str:
        return self.visitor if team == self.home else self.home


@dataclass(frozen=True)
class RosterFact:
    """An add (is_on True), a drop (False) or only a number (None) at a moment."""

    order: tuple[str, int]
    is_on: bool | None
    number: int | None


def by_at(statement: Statement) -> tuple[str, int]:
    """ "First", "latest", "last", "since" order by (`at`, ledger order)."""
    return (statement.at, statement.position)


def by_entered(statement: Statement) -> tuple[str, int]:
    """ "Latest entered": by (`entered`, ledger order)."""
    return (statement.entered, statement.position)


def first(statements: Iterable[Statement]) -> Statement | None:
    return min(statements, key=by_at, default=None)


def latest_entered(statements: Iterable[Statement]) -> Statement | None:
    return max(statements, key=by_entered, default=None)


def moment(text: str) -> datetime:
    return datetime.fromisoformat(text)


def nulls_last(value: Any) -> tuple[bool, Any]:
    """A sort key: text in code point order, numbers as numbers, nulls last."""
    return (True, 0) if value is None else (False, value)


def _statement(position: int, event: Mapping[str, Any]) -> Statement:
    return Statement(
        id=f"{event['chain']}:{event['seq']}",
        position=position,
        kind=event["kind"],
        at=event["at"],
        entered=event["entered"],
        recorded=event["recorded"],
        by=event["by"],
        game=event.get("game"),
        team=event.get("team"),
        player=event.get("player"),
        data=event.get("data", {}),
    )


def entered_by(
    statements: Sequence[Statement], as_of: str | None, known_at: str | None
) -> list[Statement]:
    """Statements entered and recorded by then, withdrawn or not."""
    return [
        statement
        for statement in statements
        if (as_of is None or statement.entered <= as_of)
        and (known_at is None or statement.recorded <= known_at)
    ]


def counting(
    statements: Sequence[Statement], as_of: str | None, known_at: str | None
) -> list[Statement]:
    """ "Only statements with `entered` <= T count (`--known-at T` does the same by `recorded`). A
    withdrawn statement does not count once its withdrawal is entered; a withdrawn withdrawal
    restores it."
    """
    there = entered_by(statements, as_of, known_at)
    withdrawn: set[str] = set()
    for statement in reversed(there):  # a withdrawal of a withdrawal comes later in the ledger
        if statement.kind == "withdraw" and statement.id not in withdrawn:
            withdrawn.add(statement.data["target"])
    return [statement for statement in there if statement.id not in withdrawn]


class Season:
    """The season as the counting statements make it; see the module docstring."""

    def __init__(
        self,
        events: Sequence[Mapping[str, Any]],
        as_of: str | None = None,
        known_at: str | None = None,
    ) -> None:
        every = [_statement(n, e) for n, e in enumerate(events) if e["kind"] not in SET_UP]
        set_up = [event for event in events if event["kind"] in SET_UP]
        there = entered_by(every, as_of, known_at)
        self.by_id = {statement.id: statement for statement in there}
        self.statements = counting(every, as_of, known_at)
        self.league: Mapping[str, Any] = next(
            event["data"] for event in set_up if event["kind"] == "league"
        )
        self.weigh_in: Mapping[str, Any] = self.league["weigh_in"]
        self.limits = {
            event["data"]["division"]: int(event["data"]["carrier_limit_clb"])
            for event in set_up
            if event["kind"] == "division"
        }
        self.division_of_team = {
            event["team"]: str(event["data"]["division"])
            for event in set_up
            if event["kind"] == "team"
        }
        self._by_kind: dict[str, list[Statement]] = defaultdict(list)
        self._by_game: dict[tuple[str, str], list[Statement]] = defaultdict(list)
        self._by_player: dict[tuple[str, str, str, str], list[Statement]] = defaultdict(list)
        for said in self.statements:
            self._by_kind[said.kind].append(said)
            if said.game is not None:
                self._by_game[said.game, said.kind].append(said)
                if said.team is not None and said.player is not None:
                    key = (said.game, said.team, said.player, said.kind)
                    self._by_player[key].append(said)
        self.roles = self._roles(set_up)
        self.games = {
            event["game"]: self._game(event) for event in set_up if event["kind"] == "game"
        }
        self._roster_facts = self._collect_roster_facts(set_up)
        self._rosters: dict[tuple[str, str], dict[str, int | None]] = {}

    # statements

    def of_kind(self, *kinds: str) -> list[Statement]:
        return [said for kind in kinds for said in self._by_kind[kind]]

    def in_game(self, game: Game, *kinds: str) -> list[Statement]:
        return [said for kind in kinds for said in self._by_game[game.id, kind]]

    def for_team(self, game: Game, team: str, *kinds: str) -> list[Statement]:
        return [said for said in self.in_game(game, *kinds) if said.team == team]

    def about(self, game: Game, team: str, player: str, *kinds: str) -> list[Statement]:
        """ "Everything about a player is per (game, team, player)." """
        return [said for kind in kinds for said in self._by_player[game.id, team, player, kind]]

    def number_stated_first(self, game: Game, team: str, player: str) -> int | None:
        """The number of the first statement about the player here that gives one."""
        with_number = [
            said
            for said in self.statements
            if (said.game, said.team, said.player) == (game.id, team, player)
            and "number" in said.data
        ]
        found = first(with_number)
        return None if found is None else int(found.data["number"])

    # games

    def _game(self, event: Mapping[str, Any]) -> Game:
        """ "The latest entered counts, each field by itself." "Kickoff: as games.csv and
        game_change have it."
        """
        data = event["data"]
        changes = self._by_game[event["game"], "game_change"]
        moved = latest_entered(change for change in changes if "kickoff" in change.data)
        return Game(
            id=event["game"],
            division=data["division"],
            home=data["home"],
            visitor=data["visitor"],
            kickoff=data["kickoff"] if moved is None else moved.data["kickoff"],
            is_off=bool(self._by_game[event["game"], "game_off"]),
        )

    def games_in_order(self) -> list[Game]:
        return sorted(self.games.values(), key=lambda game: (game.kickoff, game.id))

    def carrier_limit_clb(self, game: Game) -> int:
        """ "The division's carrier limit plus the allowance in force": "added to the division's
        limit for games whose local date is at or after it (the latest counts)".
        """
        zone = ZoneInfo(self.league["time_zone"])
        local_date = moment(game.kickoff).astimezone(zone).date().isoformat()
        in_force = [
            (step["from"], int(step["clb"]))
            for step in self.weigh_in["limit_allowance"]
            if step["from"] <= local_date
        ]
        return self.limits[game.division] + (max(in_force)[1] if in_force else 0)

    # officials

    def _roles(self, set_up: Iterable[Mapping[str, Any]]) -> set[tuple[str, str, str | None]]:
        """ "Roles: as officials.csv and appoint have them, whenever appointed." """
        roles: set[tuple[str, str, str | None]] = {
            (event["data"]["official"], event["data"]["role"], event.get("team"))
            for event in set_up
            if event["kind"] == "official"
        }
        for appoint in self.of_kind("appoint"):
            roles.add((appoint.data["value"], appoint.data["to"], appoint.team))
        return roles

    def holds(self, official: str, roles: Iterable[str]) -> bool:
        """True where the official holds one of these roles, for whichever team or for none."""
        wanted = set(roles)
        return any(who == official and role in wanted for who, role, _ in self.roles)

    def is_own_weighmaster(self, official: str, team: str) -> bool:
        """ "Own weighmaster of T": an official with the role weighmaster for team T."""
        return (official, "weighmaster", team) in self.roles

    def coaches_either(self, official: str, game: Game) -> bool:
        return any((official, "coach", team) in self.roles for team in game.teams)

    # rosters

    def _collect_roster_facts(
        self, set_up: Iterable[Mapping[str, Any]]
    ) -> dict[str, dict[str, list[RosterFact]]]:
        facts: dict[str, dict[str, list[RosterFact]]] = defaultdict(lambda: defaultdict(list))
        for event in set_up:
            if event["kind"] == "player" and event.get("team") is not None:
                given = RosterFact((THE_BEGINNING, 0), True, event["data"].get("number"))
                facts[event["team"]][event["player"]].append(given)
        for said in self.of_kind("roster_add", "roster_drop", "number_change", "enter_player"):
            if said.team is None or said.player is None:
                continue  # enter_player without a team
            is_on = {"roster_drop": False, "number_change": None}.get(said.kind, True)
            number = None if said.kind == "roster_drop" else said.data.get("number")
            facts[said.team][said.player].append(RosterFact(by_at(said), is_on, number))
        return facts

    def roster(self, team: str, at: str) -> dict[str, int | None]:
        """ "Players whose latest roster_add or roster_drop for this team at or before it is an add
        (players.csv is an add at the beginning). Number: the latest given for that team by
        players.csv, roster_add or number_change at or before it." As {player: number}.
        """
        if (team, at) not in self._rosters:
            roster: dict[str, int | None] = {}
            for player, every in self._roster_facts[team].items():
                facts = sorted(
                    (fact for fact in every if fact.order[0] <= at), key=lambda fact: fact.order
                )
                on = [fact.is_on for fact in facts if fact.is_on is not None]
                numbers = [fact.number for fact in facts if fact.number is not None]
                if on and on[-1]:
                    roster[player] = numbers[-1] if numbers else None
            self._rosters[team, at] = roster
        return self._rosters[team, at]

    def roster_at_kickoff(self, game: Game, team: str) -> dict[str, int | None]:
        return self.roster(team, game.kickoff)
