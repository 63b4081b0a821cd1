"""All papers of one day of games."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ledger.derive.days import game_days
from ledger.derive.engine import Engine
from ledger.errors import InputError
from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.blank_lists import lay_blank
from ledger.papers.sheets.books import book_sheet
from ledger.papers.sheets.cards import lay_card
from ledger.papers.sheets.lists import lay_list
from ledger.papers.sheets.play_counts import lay_play_count
from ledger.papers.sheets.source import GameSource
from ledger.record.kinds import SCHEDULE
from ledger.record.times import moment_of, zone
from ledger.say.clock import plain_date
from ledger.store.league import league_zone
from ledger.store.store import Store

PAPERS_A_GAME = 9


@dataclass(frozen=True)
class Week:
    """The N-th day with games: local date in words, (kickoff `0900`, game) pairs, games off."""

    number: int
    day: str
    games: tuple[tuple[str, str], ...]
    off: tuple[str, ...]


def find_week(store: Store, number: int) -> Week:
    """The season's N-th local date with games, called off or not, from 1.

    Moved games count on their new date. InputError if there are fewer such dates.
    """
    engine = Engine(store.events(kind=["league", *SCHEDULE, "withdraw"]))
    days = game_days(engine)
    if not 1 <= number <= len(days):
        last = f"the last, week {len(days)}, is {plain_date(days[-1].date)}"
        hint = f"Week 1 is {plain_date(days[0].date)}; {last}." if days else "It has no games yet."
        raise InputError(f"there is no week {number} in this season", hint=hint)
    day = days[number - 1]
    games = {row["game"]: row for row in engine.answer("game").dicts()}
    chosen = [games[game] for game in day.games]
    here = zone(league_zone(store))
    played = tuple(
        (f"{moment_of(game['kickoff_at']).astimezone(here):%H%M}", game["game"])
        for game in chosen
        if not game["is_off"]
    )
    off = tuple(game["game"] for game in chosen if game["is_off"])
    return Week(number, plain_date(day.date), played, off)


def lay_week(
    store: Store, week: Week, *, printed_at: str | None = None
) -> Iterator[tuple[str, Sheet]]:
    """Every paper of every game that is played, with its file name, by kickoff.

    All show one moment of the ledger: RuleError if it was written to in between. `printed_at` is
    what all say of when they were printed (UTC text; default: now).
    """
    heads = Heads(store, printed_at=printed_at)
    for clock, game in week.games:
        for what, sheet in _papers(GameSource(heads, game)):
            yield f"{clock}-{game}-{what}.pdf", sheet
    heads.check_still()


def _papers(source: GameSource) -> Iterator[tuple[str, Sheet]]:
    """Both lists, both books, the card, both empty forms, both tallies; visitors first."""
    for team in source.sides:
        yield f"list-{team}", lay_list(source, team)
    for team in source.sides:
        yield f"book-{team}", book_sheet(source.heads, team)
    yield "card", lay_card(source)
    for team in source.sides:
        yield f"blank-list-{team}", lay_blank(source, team)
    for team in source.sides:
        yield f"play-count-{team}", lay_play_count(source, team)
