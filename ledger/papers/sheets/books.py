"""The book of a team's first-game marks, and its empty form: from the ledger to the paper."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ledger.derive.engine import Engine
from ledger.derive.scope import read_book
from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.context import PaperHead
from ledger.papers.sheets.source import LeagueSource
from ledger.record.kinds import BRINGS_IN
from ledger.record.times import local_date
from ledger.say import procedure
from ledger.say.clock import plain_date

SPARE_ROWS = 2
EMPTY_ROWS = 23
"""A page of them, and room for a whole team: for a form without a roster."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BookLine:
    """One player in the book; `mark` is ok, over or "" where there is none yet.

    `by` is the printed name of who marked, `when` the local date, `game` the game's id.
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
    """`book`: a team's first-game marks. A form to be filled by hand has `is_blank`.

    `team` may be "" in an empty form: it is then written in. `limit` is a sentence.
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


def book_sheet(
    heads: Heads, team: str, *, as_of: str | None = None, known_at: str | None = None
) -> Sheet:
    """The team's book as of a moment; InputError for an unknown team."""
    source, rows = _open(heads, team, as_of, known_at)
    lines = tuple(_line(source, row) for row in rows)
    head = source.head(division=_division(source, team)["name"])
    paper = BookPaper(
        head=head,
        team=source.team_name(team),
        limit=_limit(source, team),
        lines=lines,
        spare_rows=SPARE_ROWS if rows else EMPTY_ROWS,
    )
    return source.sheet("book", paper, team=team)


def blank_book_sheet(heads: Heads, team: str | None = None) -> Sheet:
    """The empty form of the book, with the team's roster; without a team, all by hand."""
    if team is None:
        league = [one.event for one in heads.store.events(kind=["league"])]
        source = LeagueSource(heads, league)
        paper = BookPaper(
            head=source.head(), team="", limit="", lines=(), spare_rows=EMPTY_ROWS, is_blank=True
        )
        return source.sheet("book", paper, blank=True)
    source, rows = _open(heads, team)
    paper = BookPaper(
        head=source.head(division=_division(source, team)["name"]),
        team=source.team_name(team),
        limit=_limit(source, team),
        lines=tuple(
            BookLine(number=row["number"], name=source.names.child(row["player"], row["number"]))
            for row in rows
        ),
        spare_rows=SPARE_ROWS if rows else EMPTY_ROWS,
        is_blank=True,
    )
    return source.sheet("book", paper, team=team, blank=True)


def _open(
    heads: Heads, team: str, as_of: str | None = None, known_at: str | None = None
) -> tuple[LeagueSource, list[dict[str, Any]]]:
    store = heads.store
    stored = read_book(store, team)
    rows = Engine(stored, as_of=as_of, known_at=known_at).answer("book", team=team).dicts()
    markers = sorted({row["by"] for row in rows if row["by"]})
    events = [one.event for one in store.events(kind=["league", "division"])]
    events += [one.event for one in store.events(kind=BRINGS_IN["official"], subject=markers)]
    chain = stored[-1].event.chain
    events += [one.event for one in stored]
    source = LeagueSource(heads, events, chain=chain, as_of=as_of, known_at=known_at)
    return source, rows


def _line(source: LeagueSource, row: dict[str, Any]) -> BookLine:
    line = BookLine(number=row["number"], name=source.names.child(row["player"], row["number"]))
    if row["mark"] is None:
        return line
    return BookLine(
        number=line.number,
        name=line.name,
        mark=row["mark"],
        initials=row["initials"],
        by=source.names.of(row["by"]),
        when=plain_date(local_date(row["at"], source.zone)),
        game=row["game"],
    )


def _division(source: LeagueSource, team: str) -> dict[str, Any]:
    return source.divisions[source.division_of(team)]


def _limit(source: LeagueSource, team: str) -> str:
    division = _division(source, team)
    return procedure.limit(division["name"], division["carrier_limit_clb"], source.league)
