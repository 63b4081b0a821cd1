"""The tables of a practice morning: an invented game half an hour from now, and the week before it.

Each morning has teams, children and a game of its own in one throwaway season, so that a new one
begins with an empty book whatever was done in the last. Names are those of `ledger.say.practice`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from ledger.record.new_season import Cells, NewSeason, csv_text
from ledger.record.times import format_utc
from ledger.say.practice import practice_season
from ledger.say.practice_scenes import MINUTE

YOU, OTHER, SITE, REGISTRAR = "kites-wm1", "drums-wm1", "site-1", "registrar"
_KEPT_ROLES = (SITE, "head-1", REGISTRAR, "president")
_DAY_COLUMNS = ("at", "kind", "game", "team", "player", "number", "by", "value", "reason",
                "reading", "limit", "initials")  # fmt: skip
_FEW = {
    "d8": "Olive Oboe",
    "d12": "Felix Flowerpot",
    "d21": "Nell Noodle",
    "d27": "Hugo Hammock",
}
_DRUMS = {
    "d2": "Clem Cardigan",
    "d7": "Lars Lollipop",
    "d9": "Nina Nutmeg",
    "d12": "Felix Flowerpot",
    "d15": "Nell Noodle",
    "d20": "Hugo Hammock",
    "d23": "Tilly Teapot",
    "d30": "Greta Gramophone",
    "d36": "Otis Origami",
    "d41": "Gus Galosh",
    "d45": "Remy Ribbon",
    "d58": "Bert Biscuit",
    "d64": "Suki Sponge",
    "d66": "Milo Mitten",
    "d70": "Lena Lemonade",
    "d77": "Vera Velcro",
    "d80": "Olaf Oatmeal",
    "d90": "Rosa Radish",
}
TWIN, _TWINS_NAME = "d41b", "Romy Rutabaga"
"""Came to the team with a number that another child has: players.csv cannot say that."""
NEW = ("d70", "d77", "d90")
"""Children of whom the book has no mark yet."""
_OVER_BEFORE = ("d12", "d15")
_KITES = {"k3": "Posy Paperclip", "k8": "Otto Umbrella", "k21": "Rufus Raincoat"}
KITE_OVER = "k21"


@dataclass(frozen=True)
class Morning:
    """The `number`-th morning begun: a MINUTE or TEN, from the moment `begun` on."""

    number: int
    kind: str
    begun: datetime

    @property
    def game(self) -> str:
        return f"practice-{self.number}"

    @property
    def team(self) -> str:
        """The team that the volunteer weighs."""
        return f"drums-{self.number}"

    @property
    def own(self) -> str:
        """The volunteer's own team."""
        return f"kites-{self.number}"

    @property
    def drums(self) -> Mapping[str, str]:
        return _FEW if self.kind == MINUTE else _DRUMS

    def player(self, key: str) -> str:
        """The id of the child with this key."""
        if number := key.removeprefix("unlisted-") if key.startswith("unlisted-") else "":
            return f"unlisted-{self.game}-{self.team}-{number}"
        return f"m{self.number}-{key}"

    def number_of(self, player: str) -> str:
        """What the child wears."""
        return player.rpartition("-")[2].lstrip("dk").rstrip("b")

    @property
    def kites(self) -> list[str]:
        """The ids of the children whom the other side weighs."""
        return [self.player(key) for key in _KITES]


def season_of(mornings: Sequence[Morning], time_zone: str) -> tuple[NewSeason, dict[str, str]]:
    """The season with all mornings so far, and its day files by name."""
    base = practice_season(mornings[0].begun, time_zone)
    season = replace(
        base,
        teams=tuple(row for one in mornings for row in _teams(one)),
        players=tuple(row for one in mornings for row in _players(one)),
        officials=(
            *(row for row in base.officials if row[0] in _KEPT_ROLES),
            *(row for one in mornings for row in _officials(one, base)),
        ),
        games=tuple(row for one in mornings for row in _games(one)),
    )
    days = {f"days/{one.number:04}.csv": csv_text(_DAY_COLUMNS, _day(one)) for one in mornings}
    return season, days


def _teams(one: Morning) -> Iterable[Cells]:
    yield one.own, "pretend", "practice", "Paper Kites"
    yield one.team, "pretend", "practice", "Tin Drums"


def _players(one: Morning) -> Iterable[Cells]:
    for key, name in one.drums.items():
        yield one.player(key), one.team, key[1:], name
    for key, name in _KITES.items():
        yield one.player(key), one.own, key[1:], name
    if one.kind != MINUTE:
        yield one.player(TWIN), "", "", _TWINS_NAME


def _officials(one: Morning, base: NewSeason) -> Iterable[Cells]:
    names = {row[0]: row[1] for row in base.officials}
    yield YOU, names[YOU], "weighmaster", one.own
    yield OTHER, names[OTHER], "weighmaster", one.team
    yield f"coach-{one.number}", names["drums-coach1"], "coach", one.team


def _games(one: Morning) -> Iterable[Cells]:
    kickoff = one.begun + timedelta(minutes=28)
    kickoff -= timedelta(minutes=kickoff.minute % 5)
    for game, when in (
        (f"{one.game}-before", one.begun - timedelta(days=7)),
        (one.game, kickoff),
    ):
        yield game, "practice", f"{when:%Y-%m-%dT%H:%MZ}", "Pretend Field", one.own, one.team


def _day(one: Morning) -> Iterable[Cells]:
    """The week before, for the book; and what stands written down as the morning begins."""
    before = one.begun - timedelta(days=7, minutes=20)
    last, now = f"{one.game}-before", one.begun - timedelta(minutes=1)
    if one.kind == MINUTE:
        yield _line(now, "at_scale", one.game, by=OTHER, team=one.team)
        yield _line(now, "station", one.game, by=OTHER, reading="10", limit="95")
        return
    for key in one.drums:
        if key in NEW:
            continue
        value = "over" if key in _OVER_BEFORE else "ok"
        about = {"by": YOU, "team": one.team, "player": one.player(key), "value": value}
        yield _line(before, "weigh", last, **about)
        yield _line(before, "initial", last, **about, initials="DD")
    yield _line(
        before, "roster_add", "", by=REGISTRAR, team=one.team, player=one.player(TWIN), number="41"
    )
    yield _line(
        now, "list", one.game, by=OTHER, team=one.team, player=one.player("d58"), reason="injured"
    )


def _line(at: datetime, kind: str, game: str, **cells: str) -> Cells:
    given = {"at": format_utc(at), "kind": kind, "game": game} | cells
    return tuple(given.get(column, "") for column in _DAY_COLUMNS)
