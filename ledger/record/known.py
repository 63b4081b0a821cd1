"""What a ledger knows when it is asked to accept a statement."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass, field
from typing import NamedTuple

from ledger.record.accepted import OWN, SETUP, Order, Stated
from ledger.record.fields import UNLISTED
from ledger.record.rosters import Rosters, withdrawn


class KnownGame(NamedTuple):
    """A game as games.csv has it."""

    home: str
    visitor: str
    kickoff: str


class _Kickoff(NamedTuple):
    """A game change that moves a kickoff; sorted, the one entered last is the last."""

    entered: str
    order: Order
    event: str
    game: str
    kickoff: str


@dataclass
class InChain:
    """What is unique within one chain: refs, each with its event's id, and cases."""

    refs: dict[str, str] = field(default_factory=dict)
    cases: set[str] = field(default_factory=set)


@dataclass
class Known:
    """Learns events in ledger order; nothing here is kept anywhere else."""

    time_zone: str = ""
    divisions: set[str] = field(default_factory=set)
    teams: set[str] = field(default_factory=set)
    games: dict[str, KnownGame] = field(default_factory=dict)
    officials: set[str] = field(default_factory=set)
    players: set[str] = field(default_factory=set)
    chains: dict[str, InChain] = field(default_factory=lambda: defaultdict(InChain))
    statements: set[str] = field(default_factory=set)
    rosters: Rosters = field(default_factory=Rosters)
    _kickoffs: list[_Kickoff] = field(default_factory=list)
    _withdrawals: list[tuple[str, str]] = field(default_factory=list)

    def learn(self, stated: Stated, event_id: str, order: Order) -> None:
        """Take one event or statement in; `order` is its place in ledger order."""
        data = stated.data
        chain = self.chains[event_id.rpartition(":")[0]]
        match stated.kind:
            case "league":
                self.time_zone = data["time_zone"]
            case "division":
                self.divisions.add(data["division"])
            case "team" if stated.team is not None:
                self.teams.add(stated.team)
            case "official":
                self.officials.add(data["official"])
            case "appoint":
                self.officials.add(data["value"])
            case "game" if stated.game is not None:
                game = KnownGame(data["home"], data["visitor"], data["kickoff"])
                self.games[stated.game] = game
            case "player" | "enter_player" if stated.player is not None:
                self.players.add(stated.player)
            case "case_open":
                chain.cases.add(data["case"])
            case "withdraw":
                self._withdrawals.append((event_id, data["target"]))
            case "game_change" if "kickoff" in data and stated.entered and stated.game:
                change = _Kickoff(stated.entered, order, event_id, stated.game, data["kickoff"])
                self._kickoffs.append(change)
        if stated.player is not None and stated.player.startswith(UNLISTED):
            self.players.add(stated.player)
        if stated.kind not in SETUP + OWN:
            self.statements.add(event_id)
        if "ref" in data:
            chain.refs[data["ref"]] = event_id
        self.rosters.learn(stated, event_id, order)

    def gone(self) -> set[str]:
        """The ids of statements that are withdrawn."""
        return withdrawn(self._withdrawals)

    def kickoff(self, game: str, gone: Collection[str]) -> str:
        """The game's kickoff, as games.csv and the latest entered game change have it."""
        changes = [c for c in self._kickoffs if c.game == game and c.event not in gone]
        return max(changes).kickoff if changes else self.games[game].kickoff
