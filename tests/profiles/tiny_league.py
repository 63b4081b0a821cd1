"""A league in a few lines: two teams, their games, and what happened, written as a season folder.

Numbers run from 1 on each team, ids are ash-1, elm-1, …; weighmasters wa (ash) and we (elm), a play
counter pc. Ash is at home in every game.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from ledger.derive.engine import Engine
from ledger.derive.findings import find
from tests.derive.season_cases import Season

OFFICIALS = """\
official,name,role,team
wa,Invented Weigher A,weighmaster,ash
we,Invented Weigher E,weighmaster,elm
pc,Invented Counter,play_counter,
"""
COLUMNS = "at,kind,game,team,number,by,value,half,count,reading,limit"


@dataclass
class TinyLeague:
    """`rules` is league.toml after its [league]; `kickoffs` are local; `lines` of COLUMNS."""

    rules: str
    limit_lb: str
    kickoffs: Mapping[str, str]
    lines: list[str] = field(default_factory=list)
    squads: Mapping[str, int] = field(default_factory=lambda: {"ash": 3, "elm": 3})
    season: str = "2026"

    def say(self, at: str, kind: str, game: str, **cells: Any) -> None:
        """A line; the time is of the game's day."""
        given = {"at": f"{self.kickoffs[game][:10]} {at}", "kind": kind, "game": game} | cells
        self.lines.append(",".join(str(given.get(name, "")) for name in COLUMNS.split(",")))

    def station(self, game: str, limit_lb: str, at: str = "09:25") -> None:
        self.say(at, "station", game, by="wa", reading="10", limit=limit_lb)

    def weigh(self, at: str, game: str, team: str, number: int, value: str = "ok") -> None:
        by = "we" if team == "ash" else "wa"
        self.say(at, "weigh", game, team=team, number=number, by=by, value=value)

    def answers(self, folder: Path) -> Answers:
        """The league loaded from `folder`, which must not be there yet."""
        (folder / "days").mkdir(parents=True)
        players = [
            f"{team}-{number},{team},{number},Invented Child"
            for team, count in self.squads.items()
            for number in range(1, count + 1)
        ]
        games = [f"{game},d1,{at},,ash,elm" for game, at in self.kickoffs.items()]
        head = (
            f'[league]\nname = "Invented"\nseason = "{self.season}"\ntime_zone = "America/New_York"'
        )
        files = {
            "league.toml": f"{head}\n{self.rules}",
            "divisions.csv": f"division,name,carrier_limit_lb\nd1,One,{self.limit_lb}\n",
            "teams.csv": "team,association,division,name\nash,,d1,Ash\nelm,,d1,Elm\n",
            "players.csv": "\n".join(["player,team,number,name", *players]) + "\n",
            "officials.csv": OFFICIALS,
            "games.csv": "\n".join(["game,division,kickoff,site,home,visitor", *games]) + "\n",
            "days/1.csv": "\n".join([COLUMNS, *self.lines]) + "\n",
        }
        for name, text in files.items():
            (folder / name).write_text(text, encoding="utf-8")
        return Answers(Engine(Season(folder).store.events()))


@dataclass
class Answers:
    """The answers of a whole tiny season."""

    engine: Engine

    def row(self, answer: str, game: str, player: str) -> dict[str, Any]:
        rows = self.engine.answer(answer, game=game).dicts()
        return next(row for row in rows if row["player"] == player)

    def findings(self, *rules: str) -> list[tuple[str, str]]:
        """(rule, game) of the findings of these rules."""
        rows = find(self.engine).dicts()
        return [(row["rule"], row["game"]) for row in rows if row["rule"] in rules]
