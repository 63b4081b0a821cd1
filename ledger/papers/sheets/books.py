"""The book of a team's first-game marks, and its empty form."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Unpack

from ledger.derive.book_notes import MarkNote, mark_notes
from ledger.derive.engine import Engine
from ledger.derive.scope import read_book, read_book_notes
from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.context import PaperHead
from ledger.papers.sheets.source import LeagueSource, Moments
from ledger.record.kinds import BRINGS_IN
from ledger.record.times import local_date
from ledger.say import marks
from ledger.say.clock import short_date
from ledger.say.limits import carrier_limit
from ledger.store.store import Stored

SPARE_ROWS = 2
"""At least; more where the page has room."""
EMPTY_ROWS = 26
"""One page of rows, enough for a whole team without a roster."""
PAGE_ROWS = 27
"""As many as a page of a book takes, with a few names on two lines; a note counts as a row."""
LEGEND = 4
"""Weighmasters whose initials an empty form has room for: two teams of two."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BookLine:
    """One player in the book; `mark` is ok, over or "" for none yet.

    `by` is the marker's printed name, `when` the local date, `game` the game's id. `notes` say
    what to look at before the mark is relied on.
    """

    number: int | None
    name: str
    mark: str = ""
    initials: str = ""
    by: str = ""
    when: str = ""
    game: str = ""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BookPaper:
    """`book`: a team's first-game marks; `is_blank` for the form to fill in by hand.

    In an empty form `team` may be "", to be written in. `limit` is a sentence. `has_rulings` is
    true if a note is about one.
    """

    head: PaperHead
    team: str
    limit: str
    lines: tuple[BookLine, ...]
    spare_rows: int
    is_blank: bool = False
    has_rulings: bool = False
    legend: int = LEGEND

    @property
    def marked(self) -> int:
        return sum(1 for line in self.lines if line.mark)

    @property
    def has_notes(self) -> bool:
        return any(line.notes for line in self.lines)


def book_sheet(heads: Heads, team: str, **moments: Unpack[Moments]) -> Sheet:
    """The team's book as of a moment; InputError for an unknown team."""
    stored = read_book_notes(heads.store, team)
    engine = Engine(stored, **moments)
    rows = engine.answer("book", team=team).dicts()
    source = _source(heads, stored, rows, **moments)
    notes = mark_notes(engine, team)
    lines = tuple(_line(source, row, notes[row["player"]]) for row in rows)
    said = [note for row in rows for note in notes[row["player"]]]
    has_rulings = any(note.kind == "ruled" for note in said)
    paper = replace(_paper(source, team, lines), has_rulings=has_rulings)
    return source.sheet("book", paper, team=team)


def blank_book_sheet(heads: Heads, team: str | None = None) -> Sheet:
    """The book's empty form with the team's roster; without a team, all by hand."""
    if team is not None:
        stored = read_book(heads.store, team)
        rows = Engine(stored).answer("book", team=team).dicts()
        source = _source(heads, stored, rows)
        lines = tuple(_empty_line(source, row, is_form=True) for row in rows)
        paper = _paper(source, team, lines, blank=True)
        return source.sheet("book", paper, team=team, blank=True)
    source = LeagueSource(heads, [one.event for one in heads.store.events(kind=["league"])])
    paper = BookPaper(
        head=source.head(), team="", limit="", lines=(), spare_rows=EMPTY_ROWS, is_blank=True
    )
    return source.sheet("book", paper, blank=True)


def _source(
    heads: Heads,
    stored: Sequence[Stored],
    rows: Sequence[dict[str, Any]],
    **moments: Unpack[Moments],
) -> LeagueSource:
    store = heads.store
    markers = sorted({row["by"] for row in rows if row["by"]})
    read = [
        *store.events(kind=["league", "division"]),
        *store.events(kind=BRINGS_IN["official"], subject=markers),
        *stored,
    ]
    return LeagueSource(heads, [one.event for one in read], **moments)


def _paper(
    source: LeagueSource, team: str, lines: tuple[BookLine, ...], *, blank: bool = False
) -> BookPaper:
    division = source.division_of(team)
    return BookPaper(
        head=source.head(division=division["name"]),
        team=source.team_name(team),
        limit=carrier_limit(
            division["name"], division["carrier_limit_clb"], source.league, source.today
        ),
        lines=lines,
        spare_rows=_spare_rows(lines, blank=blank),
        is_blank=blank,
    )


def _spare_rows(lines: tuple[BookLine, ...], *, blank: bool) -> int:
    whole = EMPTY_ROWS if blank or not lines else PAGE_ROWS
    taken = len(lines) + sum(len(line.notes) for line in lines)
    return max(whole - taken, SPARE_ROWS)


def _line(source: LeagueSource, row: dict[str, Any], notes: Sequence[MarkNote]) -> BookLine:
    empty = _empty_line(source, row)
    said = tuple(marks.note(note, row["mark"], source.league) for note in notes)
    if row["mark"] is None:
        return replace(empty, notes=said)
    return replace(
        empty,
        mark=row["mark"],
        initials=row["initials"],
        by=source.names.of(row["by"]),
        when=short_date(local_date(row["at"], source.zone)),
        game=row["game"],
        notes=said,
    )


def _empty_line(source: LeagueSource, row: dict[str, Any], *, is_form: bool = False) -> BookLine:
    name = source.names.beside(row["player"], row["number"], is_form=is_form)
    return BookLine(number=row["number"], name=name)
