"""The book of a team's first-game marks, and its empty form."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Unpack

from ledger.derive.engine import Engine
from ledger.derive.scope import read_book
from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.context import PaperHead
from ledger.papers.sheets.source import LeagueSource, Moments
from ledger.record.kinds import BRINGS_IN
from ledger.record.times import local_date
from ledger.say import procedure
from ledger.say.clock import plain_date

SPARE_ROWS = 2
EMPTY_ROWS = 23
"""One page of rows, enough for a whole team without a roster."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BookLine:
    """One player in the book; `mark` is ok, over or "" for none yet.

    `by` is the marker's printed name, `when` the local date, `game` the game's id.
    """

    number: int | None
    name: str
    mark: str = ""
    initials: str = ""
    by: str = ""
    when: str = ""
    game: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BookPaper:
    """`book`: a team's first-game marks; `is_blank` for the form to fill in by hand.

    In an empty form `team` may be "", to be written in. `limit` is a sentence.
    """

    head: PaperHead
    team: str
    limit: str
    lines: tuple[BookLine, ...]
    spare_rows: int
    is_blank: bool = False

    @property
    def marked(self) -> int:
        return sum(1 for line in self.lines if line.mark)


def book_sheet(heads: Heads, team: str, **moments: Unpack[Moments]) -> Sheet:
    """The team's book as of a moment; InputError for an unknown team."""
    source, rows = _open(heads, team, **moments)
    return source.sheet("book", _paper(source, team, rows), team=team)


def blank_book_sheet(heads: Heads, team: str | None = None) -> Sheet:
    """The book's empty form with the team's roster; without a team, all by hand."""
    if team is not None:
        source, rows = _open(heads, team)
        return source.sheet("book", _paper(source, team, rows, blank=True), team=team, blank=True)
    source = LeagueSource(heads, [one.event for one in heads.store.events(kind=["league"])])
    paper = BookPaper(
        head=source.head(), team="", limit="", lines=(), spare_rows=EMPTY_ROWS, is_blank=True
    )
    return source.sheet("book", paper, blank=True)


def _open(
    heads: Heads, team: str, **moments: Unpack[Moments]
) -> tuple[LeagueSource, list[dict[str, Any]]]:
    store = heads.store
    stored = read_book(store, team)
    rows = Engine(stored, **moments).answer("book", team=team).dicts()
    markers = sorted({row["by"] for row in rows if row["by"]})
    read = [
        *store.events(kind=["league", "division"]),
        *store.events(kind=BRINGS_IN["official"], subject=markers),
        *stored,
    ]
    return LeagueSource(heads, [one.event for one in read], **moments), rows


def _paper(
    source: LeagueSource, team: str, rows: list[dict[str, Any]], *, blank: bool = False
) -> BookPaper:
    division = source.division_of(team)
    return BookPaper(
        head=source.head(division=division["name"]),
        team=source.team_name(team),
        limit=procedure.limit(division["name"], division["carrier_limit_clb"], source.league),
        lines=tuple(_line(source, row, blank) for row in rows),
        spare_rows=SPARE_ROWS if rows else EMPTY_ROWS,
        is_blank=blank,
    )


def _line(source: LeagueSource, row: dict[str, Any], blank: bool) -> BookLine:
    name = source.names.child(row["player"], row["number"])
    if blank or row["mark"] is None:
        return BookLine(number=row["number"], name=name)
    return BookLine(
        number=row["number"],
        name=name,
        mark=row["mark"],
        initials=row["initials"],
        by=source.names.of(row["by"]),
        when=plain_date(local_date(row["at"], source.zone)),
        game=row["game"],
    )
