"""The card for weighmasters: six steps in front, the reference and who to call behind."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.derive.engine import Engine
from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.callers import CallLine, who_to_call
from ledger.papers.sheets.context import PaperHead
from ledger.papers.sheets.lists import limit_of, passing_range
from ledger.papers.sheets.source import GameSource, LeagueSource
from ledger.say import procedure, words
from ledger.say.limits import limits_in_force, since_when


@dataclass(frozen=True, slots=True, kw_only=True)
class CardPaper:
    """`card`: what weighmasters do in one game, or in the league if `head.game` is "".

    `limits` are pairs of a division's name and its limit with its unit; `limit_changes` says how
    they change. A game has one, in `limit_kg` too ("" for the league); its `limit_changes` says
    since when it holds.
    `check_weight` and `passes` are texts with their unit. `gear`, `shoes`, `stripe` and `distance`
    are the league's own lines; without any, the template has common practice. The other texts are
    the league's rules, a sentence each. `asked_first` is a role. `calls` are in the order in which
    to ask. `is_full`: the league's lines are so many that the back is set closer.
    """

    head: PaperHead
    limits: tuple[tuple[str, str], ...]
    limit_changes: str
    limit_kg: str
    check_weight: str
    passes: str
    opens: str
    first_to_weigh: str
    attempts: str
    declared_over: str
    declines: str
    late_players: str
    weighmasters: str
    minimum_plays: str
    asked_first: str
    calls: tuple[CallLine, ...]
    gear: tuple[str, ...] = ()
    shoes: tuple[str, ...] = ()
    stripe: tuple[str, ...] = ()
    distance: tuple[str, ...] = ()
    is_full: bool = False


def card_sheet(heads: Heads, game: str | None = None) -> Sheet:
    """The card of a game, or of the league; InputError for an unknown game."""
    if game is not None:
        return lay_card(GameSource(heads, game))
    stored = list(heads.store.events(kind=["league", "division"]))
    source = LeagueSource(heads, [one.event for one in stored])
    opens = procedure.opens(source.league)
    return source.sheet("card", _paper(source, Engine(stored), season_limits(source), opens))


def season_limits(source: LeagueSource) -> tuple[tuple[tuple[str, str], ...], str]:
    """Each division's name and its limit in force; how the limits change."""
    divisions = [
        (division["name"], division["carrier_limit_clb"])
        for _, division in sorted(source.divisions.items())
    ]
    return limits_in_force(divisions, source.league, source.today)


def lay_card(source: GameSource) -> Sheet:
    """The card of the source's game."""
    limit_clb = limit_of(source)
    limits = ((source.head().division, words.pounds(limit_clb)),)
    since = since_when(limit_clb, source.league, source.local_date)
    opens = source.before_kickoff(source.league["weigh_in"]["opens_before_kickoff_min"])
    said = f"The weigh-in opens at {words.unbroken(opens)}."
    limit_kg = words.kilograms(limit_clb)
    paper = _paper(source, source.engine, (limits, since), said, source.game, limit_kg)
    return source.sheet("card", paper, game=source.game)


def _paper(
    source: LeagueSource,
    engine: Engine,
    limits: tuple[tuple[tuple[str, str], ...], str],
    opens: str,
    game: str = "",
    limit_kg: str = "",
) -> CardPaper:
    league = source.league
    check_clb = league["weigh_in"]["check_weight_clb"]
    own: dict[str, tuple[str, ...]] = {what: tuple(said) for what, said in league["card"].items()}
    return CardPaper(
        head=source.head(),
        limits=limits[0],
        limit_changes=limits[1],
        limit_kg=limit_kg,
        check_weight=words.pounds(check_clb),
        passes=passing_range(check_clb, engine),
        opens=opens,
        first_to_weigh=procedure.first_to_weigh(league),
        attempts=procedure.attempts(league),
        declared_over=procedure.declared_over(league),
        declines=procedure.declines(league),
        late_players=procedure.late_players(league),
        weighmasters=procedure.weighmasters(league),
        minimum_plays=procedure.minimum_plays(league),
        asked_first=procedure.first_to_ask(league),
        calls=who_to_call(source, game),
        is_full=_rows_of(own) > _ROOM,
        **own,
    )


_ROW, _ROOM = 55, 9
"""Letters of a row in half the back's width, and the rows that the usual type has room for."""


def _rows_of(own: dict[str, tuple[str, ...]]) -> int:
    return sum(1 + len(line) // _ROW for lines in own.values() for line in lines)
