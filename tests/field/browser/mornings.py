"""A ledger in which every hour of a game day stands still: one game for each, on 17 October.

`newts-wm1` weighs the Marmots in all of them. Names of games say how far the game is: MORNINGS.
Made from the tables of the sample season and its first Saturday, so that the book has marks; number
58 has none, nor has 50.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from contextlib import closing
from itertools import count
from pathlib import Path

from ledger.store.opening import open_store
from ledger.witness.countersign import countersign, show_list
from ledger.witness.officials import unlock
from ledger.witness.phone_keys import enroll_phone, origin_to_be, read_phone_key
from tests.field.site import LEDGER, PASSPHRASE, give_keys
from tests.make_sample_season import FOLDER
from tests.phone import Phone
from tests.tiny import day, load, says, write_folder

DATE = "2026-10-17"
NOW = "2026-10-17T13:43:00Z"
"""17 minutes before kickoff."""
NUMBERS = (1, 3, 5, 8, 11, 13, 15, 16, 18, 19, 22, 24, 26, 27, 30, 32, 34, 37, 39, 42, 45, 48, 50,
           58)  # fmt: skip
OVER, ABSENT, INJURED, GEAR, DECLARED = (8, 26), 13, 15, 16, 18
ONE_GAME = "oak-one"
SIGNED = "signed.txt"
"""The id of the only signature, beside the ledger that was made."""
ON_PHONE = "newts-wm2"
"""Whose key is on a phone."""
KEYED = ("newts-wm1", "marmots-wm1", "acorn-president")
_FIRST = "2026-09-05"
Line = dict[str, str]


def _rows(path: Path) -> Iterator[Line]:
    with path.open(newline="") as file:
        yield from csv.DictReader(file)


PLAYERS = {
    int(row["number"]): row["player"]
    for row in _rows(FOLDER / "players.csv")
    if row["team"] == "marmots"
}
"""Ids by number."""


class Morning:
    """The lines of one game, a few seconds apart."""

    def __init__(self, game: str, hour: str = "08") -> None:
        self.game, self.hour = game, hour
        self.lines: list[Line] = []
        self._ticks = count()

    def say(self, kind: str, *, by: str = "newts-wm1", **cells: object) -> Morning:
        minute, second = divmod(next(self._ticks) * 17, 60)
        when = f"{DATE}T{self.hour}:{minute:02}:{second:02}"
        self.lines.append(says(kind, game=self.game, by=by, at=when, **cells))
        return self

    def child(self, kind: str, number: int, **cells: object) -> Morning:
        return self.say(kind, team="marmots", number=number, **cells)

    def ready(self) -> Morning:
        self.say("at_scale", team="newts")
        return self.say("station", reading="10", limit="97")

    def weigh(self, numbers: Iterable[int], value: str = "ok") -> Morning:
        for number in numbers:
            self.child("weigh", number, value=value)
        return self

    def over(self, number: int, *after: str) -> Morning:
        self.weigh([number], "over")
        for kind in after:
            self.child(kind, number, reason="over" if kind == "list" else None)
        return self

    def listed(self) -> Morning:
        for number, reason in ((ABSENT, "absent"), (INJURED, "injured"), (GEAR, "equipment"),
                               (DECLARED, "over")):  # fmt: skip
            self.child("list", number, reason=reason)
        return self

    def weighed(self, *, but: Iterable[int] = ()) -> Morning:
        """Everybody, with nothing left open."""
        self.ready().listed()
        out = {ABSENT, INJURED, GEAR, DECLARED, *OVER, *but}
        self.weigh(number for number in NUMBERS if number not in out)
        for number in (*OVER, DECLARED):
            self.over(number, *(("stripe",) if number == DECLARED else ("list", "stripe")))
        return self

    def closed(self, **how: object) -> Morning:
        return self.weighed(**how).say("close", team="marmots")  # type: ignore[arg-type]


def fresh() -> Morning:
    return Morning("fresh")


def ready() -> Morning:
    return Morning("ready").ready()


def line() -> Morning:
    """In the middle: some weighed, some listed, one over without tape, one written down twice."""
    found = Morning("line").ready().listed().weigh(NUMBERS[:4]).over(11, "list", "stripe")
    found.over(22, "list").weigh((24, 26, 27))
    return found.say("weigh", team="marmots", number=27, value="over", by="newts-wm2")


def weighed() -> Morning:
    return Morning("weighed").weighed()


def loose() -> Morning:
    """Everybody was there, and every sort of thing is still open."""
    found = Morning("loose").ready().listed()
    found.weigh((1, 3, 5, 8, ABSENT, INJURED, DECLARED, 24, 26, 27, 30, 32, 34, 37, 39, 42, 45))
    found.child("stripe", 42).child("list", 42, reason="over")
    return found.over(11).over(19, "list").over(22, "stripe")


def closed() -> Morning:
    return Morning("closed").closed()


def signed() -> Morning:
    return Morning("signed").closed()


def out() -> Morning:
    """The scale went out of use after six children."""
    found = Morning("out").ready().weigh(NUMBERS[:6])
    return found.say("scale_out", reason="not usable at the table")


def late() -> Morning:
    return Morning("late").closed(but=(48,))


def half() -> Morning:
    found = Morning("half").closed(but=(48,))
    return found.say("half", half="1", by="site-glimmerfen")


def plays() -> Morning:
    found = Morning("plays").closed()
    for number, *counts in ((1, 6, 6), (3, 12, 12), (5, 7, 8), (8, 4, 5), (11, 9, 9)):
        for official, n in zip(("newts-pc1", "newts-pc2"), counts, strict=True):
            found.child("plays", number, half="1", count=n, by=official)
    for official, snaps in (("newts-pc1", 19), ("newts-pc2", 20)):
        found.say("snaps", half="1", count=snaps, by=official)
    return found.say("half", half="1", by="site-glimmerfen")


def off() -> Morning:
    return Morning("off").say("game_off", by="site-glimmerfen", reason="thunder")


MORNINGS = (fresh, ready, line, weighed, loose, closed, signed, out, late, half, plays, off)


def make(folder: Path) -> None:
    """The ledger, as `made_once` wants it made."""
    names = ("divisions", "teams", "players", "officials")
    tables = {name: (FOLDER / f"{name}.csv").read_text() for name in names}
    first = [row for row in _rows(FOLDER / "days" / f"{_FIRST}.csv") if not _is_new(row)]
    mine = [line for morning in MORNINGS for line in morning().lines]
    load(
        folder / LEDGER,
        write_folder(
            folder / "season",
            league=(FOLDER / "league.toml").read_text(),
            games=_games(),
            days={f"{_FIRST}.csv": day(*first), f"{DATE}.csv": day(*mine)},
            **tables,
        ),
    )
    give_keys(folder / LEDGER, KEYED)
    with closing(open_store(folder / LEDGER)) as store:
        phone = Phone(ON_PHONE, origin_to_be(store, "office"))
        enroll_phone(store, read_phone_key(ON_PHONE, phone.line, phone.proof), by="registrar")
    with closing(open_store(folder / LEDGER)) as store:
        shown = show_list(store, "signed", "marmots", "newts-wm1", chain="office")
        key, private = unlock(store, "newts-wm1", PASSPHRASE)
        (folder / SIGNED).write_text(countersign(store, shown, key, private).event_id)


def _games() -> str:
    kept = [row for row in _rows(FOLDER / "games.csv") if row["kickoff"].startswith(_FIRST)]
    games = [(one().game, "acorn", "newts", "marmots") for one in MORNINGS]
    games.append((ONE_GAME, "oak", "pangolins", "snapdragons"))
    for game, division, home, visitor in games:
        kept.append(
            {"game": game, "division": division, "kickoff": f"{DATE}T09:00",
             "site": "Glimmerfen Meadow", "home": home, "visitor": visitor}
        )  # fmt: skip
    text = io.StringIO()
    writer = csv.DictWriter(text, kept[0])
    writer.writeheader()
    writer.writerows(kept)
    return text.getvalue()


def _is_new(row: Line) -> bool:
    """Whether this line would give a mark to a child who is new in October."""
    return row["team"] == "marmots" and row["number"] in ("50", "58")
