"""What a ledger knows when it is asked to accept a statement."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass, field
from typing import NamedTuple

from ledger.record.accepted import OWN, SETUP, Stated
from ledger.record.fields import UNLISTED
from ledger.record.rosters import Rosters, withdrawn


class KnownGame(NamedTuple):
    """A game as games.csv has it."""

    home: str
    visitor: str
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
    statements: dict[str, int] = field(default_factory=dict)
    rosters: Rosters = field(default_factory=Rosters)
    _kickoffs: list[tuple[str, int, str, str]] = field(default_factory=list)
    _withdrawals: list[tuple[int, int]] = field(default_factory=list)

    def learn(self, stated: Stated, event_id: str, position: int) -> None:
        """Take one event or statement in; `position` is its place in the ledger's order."""
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
                self._withdrawals.append((position, self.statements[data["target"]]))
            case "game_change" if "kickoff" in data and stated.entered and stated.game:
                change = (stated.entered, position, stated.game, data["kickoff"])
                self._kickoffs.append(change)
        if stated.player is not None and stated.player.startswith(UNLISTED):
            self.players.add(stated.player)
        if stated.kind not in SETUP + OWN:
            self.statements[event_id] = position
        if "ref" in data:
            chain.refs[data["ref"]] = event_id
        self.rosters.learn(stated, position)

    def gone(self) -> set[int]:
        """Positions of statements that are withdrawn."""
        return withdrawn(self._withdrawals)

    def kickoff(self, game: str, gone: Collection[int]) -> str:
        """The game's kickoff, as games.csv and the latest entered game change have it."""
        changes = [c for c in self._kickoffs if c[2] == game and c[1] not in gone]
        return max(changes)[3] if changes else self.games[game].kickoff
