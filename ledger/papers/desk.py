"""What papers about a game share: names, local times, the head of the ledger."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from ledger.derive.engine import Engine
from ledger.errors import InputError
from ledger.papers import words
from ledger.papers.context import PaperHead
from ledger.papers.names import Names
from ledger.record.times import format_utc, moment_of
from ledger.store.store import Store, Stored


@dataclass(frozen=True)
class Sheet:
    """What a paper is rendered from: its template, its context, the ledger's last time."""

    document: str
    context: dict[str, Any]
    stamp: str


class Desk:
    """A game's events, laid out for a paper's words."""

    def __init__(self, store: Store, engine: Engine, game: str, stored: Sequence[Stored]) -> None:
        events = [one.event for one in stored]
        self.names = Names(store, events)
        self._game = next(r for r in engine.answer("game").dicts() if r["game"] == game)
        self.league: dict[str, Any] = {}
        self._teams: dict[str, str] = {}
        self._divisions: dict[str, str] = {}
        for event in events:
            data = event.data
            if event.kind == "league":
                self.league = dict(data)
            elif event.kind == "team" and event.team:
                self._teams[event.team] = data["name"]
            elif event.kind == "division":
                self._divisions[data["division"]] = data["name"]
        self.zone: str = self.league["time_zone"]
        self._last = store.last()
        self.stamp = self._last.recorded

    def head(self, *, as_of: str | None = None, known_at: str | None = None) -> PaperHead:
        """Which game, and which state of the ledger."""
        game = self._game
        return PaperHead(
            league=self.league["name"],
            season=self.league["season"],
            division=self._divisions[game["division"]],
            game=game["game"],
            kickoff=words.local_time(game["kickoff_at"], self.zone),
            site=game["site"] or "",
            home=self._teams[game["home"]],
            visitor=self._teams[game["visitor"]],
            zone=self.zone,
            head_id=self._last.id,
            head_hash=self._last.hash.hex(),
            as_of=words.local_time(as_of, self.zone) if as_of else "",
            known_at=words.local_time(known_at, self.zone) if known_at else "",
            keep_until=self.league["privacy"]["keep_personal_until"],
        )

    def opponents_of(self, team: str) -> str:
        """The other side; InputError for a team that does not play in the game."""
        sides = {self._game["home"]: self._game["visitor"]}
        sides |= {visitor: home for home, visitor in sides.items()}
        if team not in sides:
            hint = f"Teams of {self._game['game']}: {' and '.join(sorted(sides))}."
            raise InputError(f"{team} does not play in {self._game['game']}", hint=hint)
        return str(sides[team])

    def team_name(self, team: str) -> str:
        return self._teams[team]

    def clock(self, utc: str | None) -> str:
        return words.local_clock(utc, self.zone) if utc else ""

    def before_kickoff(self, minutes: int) -> str:
        opens = moment_of(self._game["kickoff_at"]) - timedelta(minutes=minutes)
        return words.local_time(format_utc(opens), self.zone)
