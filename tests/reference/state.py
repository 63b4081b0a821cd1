"""What the season looks like through the statements that count.

A `Season` is made from the whole ledger (event dicts in any order of chains) and an optional as-of
and known-at moment, both fixed-width UTC text. It answers: the statements that count, kickoffs,
roles, rosters. It decides nothing about eligibility.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from tests.reference.roles import Roles
from tests.reference.set_up import SetUp
from tests.reference.statements import (
    KINDS,
    SET_UP,
    AnEvent,
    Statement,
    by_at,
    counting,
    first,
    in_ledger_order,
    latest_entered,
    moment,
    statement_of,
)

THE_BEGINNING = ""  # sorts before every moment
THE_END = "~"  # sorts after every moment


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


class Season:
    """The season as the counting statements make it; see the module docstring.

    "All answers take as of T: only statements with `entered` <= T count ... `--known-at` ... goes
    by `recorded`, and tables, roles and rules count by it too."
    """

    def __init__(
        self,
        events: Sequence[AnEvent],
        as_of: str | None = None,
        known_at: str | None = None,
    ) -> None:
        held = [
            (position, event)
            for position, event in enumerate(in_ledger_order(events))
            if known_at is None or event["recorded"] <= known_at
        ]
        every = [statement_of(*one) for one in held if one[1]["kind"] in KINDS]
        there = [said for said in every if as_of is None or said.entered <= as_of]
        self.by_id = {statement.id: statement for statement in there}
        self.statements = counting(there)
        self.set_up = SetUp([event for _, event in held if event["kind"] in SET_UP], as_of)
        self.limits = {
            event["data"]["division"]: int(event["data"]["carrier_limit_clb"])
            for event in self.set_up.rows("division")
        }
        self.division_of_team = {
            event["team"]: str(event["data"]["division"]) for event in self.set_up.rows("team")
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
        self.roles = Roles(self.set_up.roles, self.of_kind("appoint"))
        self.games = {
            event["game"]: self._game(event)
            for event in self.set_up.rows("game")
            if self._is_whole(event["data"])
        }
        self._roster_facts = self._collect_roster_facts()
        self._rosters: dict[tuple[str, str], dict[str, int | None]] = {}

    # rules

    @property
    def league(self) -> Any:
        """The league's rules; to be asked for only where a game or a finding is looked at."""
        assert self.set_up.league is not None
        return self.set_up.league

    @property
    def weigh_in(self) -> Any:
        """ "A league key that an older ledger's row lacks has its default." """
        return {"training_valid_days": 0} | self.league["weigh_in"]

    @property
    def is_begun(self) -> bool:
        """False while the ledger did not hold the league: then nothing has rows."""
        return self.set_up.league is not None

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

    def _is_whole(self, game: Mapping[str, Any]) -> bool:
        """Known-at may fall between the rows of the tables: a game needs its teams and division."""
        teams_held = {game["home"], game["visitor"]} <= self.division_of_team.keys()
        return teams_held and game["division"] in self.limits

    def _game(self, event: AnEvent) -> Game:
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

    def is_own_weighmaster(self, official: str, team: str, game: Game) -> bool:
        """ "Own weighmaster of T": an official with the role weighmaster for team T."""
        return self.roles.holds_for(official, "weighmaster", team, game.id)

    def coaches_either(self, official: str, game: Game) -> bool:
        return any(self.roles.holds_for(official, "coach", team, game.id) for team in game.teams)

    # rosters

    def _collect_roster_facts(self) -> dict[str, dict[str, list[RosterFact]]]:
        facts: dict[str, dict[str, list[RosterFact]]] = defaultdict(lambda: defaultdict(list))
        for event in self.set_up.rows("player"):
            if event.get("team") is not None:
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
        players.csv, roster_add or number_change at or before it"; "an add without a number keeps
        the player's last for this team, else null". As {player: number}.
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
