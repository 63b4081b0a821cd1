"""The pen that writes statements into a season, as they arrive, so that a ledger accepts them:
officials, players and cases are known before they are named, and a number given is theirs.
"""

from __future__ import annotations

from collections.abc import Iterable
from random import Random
from typing import Any

from tests.random_seasons.chain import (
    DAY,
    HOUR,
    MINUTE,
    SECOND,
    Draft,
    milliseconds,
    random_text,
    utc,
)
from tests.random_seasons.clocks import Clocks
from tests.random_seasons.tables import GameRow, Tables

# who writes, the first the office that loaded the tables
CHAINS = (
    *[("office",)] * 4,
    ("office", "table-2"),
    ("office", "A-tent"),
    ("office", "table-2"),
    ("office", "table-2", "A-tent"),
)
ROSTER_KINDS = ("roster_add", "roster_drop", "number_change", "enter_player")
FREE_TEXT_REASONS = ("scale_out", "withdraw", "game_change", "game_off")
ENTERED_LATER = (
    1,
    SECOND,
    MINUTE,
    5 * MINUTE,
    30 * MINUTE,
    30 * MINUTE + 1,
    31 * MINUTE,
    2 * HOUR,
    DAY,
    8 * DAY,
)


class Builder:
    """`drafts` grows by one with each `say`. Times are milliseconds since 1970."""

    def __init__(self, rng: Random, tables: Tables) -> None:
        self.rng = rng
        self.tables = tables
        self.drafts: list[Draft] = list(tables.rows)
        self.set_up = len(self.drafts)
        self.roles: set[tuple[str, str, str | None]] = {
            (d["data"]["official"], d["data"]["role"], d.get("team"))
            for d in tables.rows
            if d["kind"] == "official"
        }
        self.officials: list[str] = sorted({official for official, _, _ in self.roles})
        self.players = {team: list(players) for team, players in tables.players.items()}
        self.loose_players = list(tables.loose_players)
        self.unlisted: dict[tuple[str, str], list[int]] = {}
        self.cases: dict[tuple[str, str], Draft] = {}  # by chain and id
        self.appointed: list[Draft] = []
        self.signed: list[Draft] = []
        self.chains = rng.choice(CHAINS)
        last_kickoff = max(game.kickoff for game in tables.games)
        self.clocks = Clocks(rng, self.chains, last_kickoff)
        self.places = self.clocks.load(self.drafts)  # of each draft, in ledger order
        self.made_here_chance = rng.choice((0.0, 0.6, 1.0))
        self.from_folder = rng.random() < 0.5
        self.later_chance = rng.choice((0.0, 0.15, 0.3, 0.5))
        self.sooner_chance = rng.choice((0.0, 0.05))
        self.number_chance = rng.choice((0.0, 0.3))
        self.focus = rng.choice(tables.games)
        # the child whose papers are put right afterwards, again and again
        self.papers_of = (self.focus, self.focus.home, rng.choice(self.players[self.focus.home]))

    @property
    def said(self) -> int:
        return len(self.drafts) - self.set_up

    def load_late_row(self) -> None:
        if not self.tables.late_rows:
            return
        draft = self.tables.late_rows.pop() | {"chain": self.rng.choice(self.chains)}
        self._append(draft)
        self.set_up += 1
        if draft["kind"] == "game":
            self.tables.games.append(self.tables.late_games[draft["game"]])
        elif draft["kind"] == "official":
            self.roles.add((draft["data"]["official"], draft["data"]["role"], draft.get("team")))
            self.officials = sorted({*self.officials, draft["data"]["official"]})
        else:
            self.players[draft["team"]].append(draft["player"])
            self.tables.numbers[draft["team"], draft["player"]] = draft["data"]["number"]

    def say(
        self,
        kind: str,
        at: int,
        by: str,
        *,
        game: GameRow | None = None,
        team: str | None = None,
        player: str | None = None,
        chain: str | None = None,
        entered: int | None = None,
        **data: Any,
    ) -> Draft:
        rng = self.rng
        top = {"game": None if game is None else game.id, "team": team, "player": player}
        draft: Draft = {
            "chain": chain or rng.choice(self.chains),
            "kind": kind,
            "at": utc(at),
            "entered": utc(self.entered_for(at) if entered is None else entered),
            "by": by,
            **{key: value for key, value in top.items() if value is not None},
            "data": {key: value for key, value in data.items() if value is not None},
        }
        if kind in FREE_TEXT_REASONS:
            draft["data"]["digests"] = {"reason": random_text(rng, 32)}
        if game is not None and team is not None and player is not None:
            self.give_number(draft, game, team, player)
        if self.from_folder:
            draft["data"]["source"] = {"file": "days/01.csv", "record": self.said + 1}
        if rng.random() < 0.02:
            draft["data"]["ref"] = f"r{self.said}"
        self._append(draft)
        return draft

    def _append(self, draft: Draft) -> None:
        self.places.append(self.clocks.record(draft))
        self.drafts.append(draft)

    def entered_for(self, at: int) -> int:
        chance = self.rng.random()
        if chance < self.later_chance:
            return at + self.rng.choice(ENTERED_LATER)
        if chance > 1 - self.sooner_chance:
            return at - self.rng.choice((1, MINUTE, HOUR))
        return at

    def give_number(self, draft: Draft, game: GameRow, team: str, player: str) -> None:
        """A number that is theirs on that team's roster at the kickoff, as accepted by now; with an
        `unlisted-` id, name and number or the id alone.
        """
        data = draft["data"]
        if player.startswith("unlisted-"):
            number = int(player.rsplit("-", 1)[1])
            known = self.unlisted.setdefault((game.id, team), [])
            if number not in known or self.rng.random() < 0.5:
                data["number"] = number
                data["digests"] = {"name": random_text(self.rng, 32)}
            if number not in known:
                known.append(number)
        elif (game, team, player) == self.papers_of or self.rng.random() < self.number_chance:
            number_now = self.number_now(game, team, player)
            if number_now is not None:
                data["number"] = number_now

    def number_now(self, game: GameRow, team: str, player: str) -> int | None:
        dead = self.withdrawn()
        at = utc(game.kickoff)
        latest_change: tuple[str, tuple[str, str, int]] | None = None
        for n, draft in enumerate(self.drafts):
            is_change = draft["kind"] == "game_change" and draft["game"] == game.id
            is_move = is_change and n not in dead and "kickoff" in draft["data"]
            this_change = (draft.get("entered", ""), self.places[n])
            if is_move and (latest_change is None or this_change > latest_change):
                latest_change, at = this_change, draft["data"]["kickoff"]
        number = self.tables.numbers.get((team, player))
        is_on = number is not None
        facts = [
            (draft["at"], self.places[n], draft["kind"], draft["data"].get("number"))
            for n, draft in enumerate(self.drafts)
            if draft["kind"] in ROSTER_KINDS
            and (draft.get("team"), draft["player"]) == (team, player)
            and n not in dead
            and draft["at"] <= at
        ]
        for _, _, kind, given in sorted(facts, key=lambda fact: fact[:2]):
            is_on = {"roster_drop": False, "number_change": is_on}.get(kind, True)
            number = given if given is not None and kind != "roster_drop" else number
        return number if is_on else None

    def withdrawn(self) -> set[int]:
        dead: set[int] = set()
        for n in range(len(self.drafts) - 1, -1, -1):
            if self.drafts[n]["kind"] == "withdraw" and n not in dead:
                dead.add(self.drafts[n]["data"]["target"])
        return dead

    # who

    def one_of(self, officials: Iterable[str]) -> str:
        return self.rng.choice(sorted(officials) or self.officials)

    def weighmaster(self, team: str) -> str:
        return self.one_of(o for o, role, t in self.roles if (role, t) == ("weighmaster", team))

    def coach(self, team: str) -> str:
        return self.one_of(o for o, role, t in self.roles if (role, t) == ("coach", team))

    def who_weighs(self, game: GameRow, team: str) -> str:
        """Mostly the opponents' weighmaster, as the procedure has it."""
        chance = self.rng.random()
        if chance < 0.88:
            return self.weighmaster(game.opponent(team))
        if chance < 0.94:
            return self.weighmaster(team)
        return self.coach(self.rng.choice(game.teams)) if chance < 0.97 else self.anybody()

    def holder(self, roles: list[str]) -> str:
        return self.one_of(official for official, role, _ in self.roles if role in roles)

    def anybody(self) -> str:
        return self.rng.choice(self.officials)

    def anyone(self, game: GameRow, team: str) -> str:
        """A player: mostly of the team and the same few, but also of another, of none, unlisted."""
        rng = self.rng
        chance = rng.random()
        if chance < 0.93:
            pool = self.players[team]
            return rng.choice(pool[:2] if rng.random() < 0.5 else pool)
        if chance < 0.95:
            return rng.choice(self.players[rng.choice(list(self.players))])
        if chance < 0.97 and self.loose_players:
            return rng.choice(self.loose_players)
        known = self.unlisted.get((game.id, team))
        number = rng.choice(known) if known and rng.random() < 0.5 else rng.choice((3, 9, 10, 77))
        return f"unlisted-{game.id}-{team}-{number}"

    def play_up(self) -> None:
        """A child of one team joins another, perhaps of another division, before the first game."""
        team = self.rng.choice(list(self.players))
        player = self.rng.choice([p for players in self.players.values() for p in players])
        if player not in self.players[team]:
            before = min(game.kickoff for game in self.tables.games) - DAY
            number = self.rng.choice((None, 8, 20))
            self.say("roster_add", before, self.anybody(), team=team, player=player, number=number)
            self.players[team].append(player)

    def enter_player(self, at: int) -> None:
        rng = self.rng
        player = f"e{self.said}"
        by, digests = self.anybody(), {"name": random_text(rng, 32)}
        if rng.random() < 0.8:
            team = rng.choice(list(self.players))
            self.say(
                "enter_player",
                at,
                by,
                team=team,
                player=player,
                number=rng.choice((0, 5, 14, 14, 99)),
                digests=digests,
            )
            self.players[team].insert(rng.choice((0, len(self.players[team]))), player)
        else:
            self.say("enter_player", at, by, player=player, digests=digests)
            self.loose_players.append(player)

    def game_of(self, draft: Draft) -> GameRow | None:
        return next((g for g in self.tables.games if g.id == draft.get("game")), None)

    def when(self, draft: Draft, key: str) -> int:
        return milliseconds(draft[key])
