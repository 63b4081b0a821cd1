"""Pages for people outside the game, one side each: the board, parents, and a first try."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.callers import CallLine, who_to_call
from ledger.papers.sheets.cards import season_limits
from ledger.papers.sheets.context import PaperHead
from ledger.papers.sheets.source import LeagueSource
from ledger.record.authority import role_name
from ledger.say import procedure, words

REGISTRAR = words.upper_first(role_name("registrar"))


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardPaper:
    """`board_page`: what is kept, who sees it and until when. `retention` is a sentence."""

    head: PaperHead
    retention: str
    calls: tuple[CallLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ParentPaper:
    """`parent_notice`: the weigh-in for parents. `limits` and `limit_changes` are as on the card.

    The rules are sentences."""

    head: PaperHead
    limits: tuple[tuple[str, str], ...]
    limit_changes: str
    attempts: str
    late_players: str
    not_weighed: str
    minimum_plays: str
    protest: str
    asked_first: str
    registrars: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PilotPaper:
    """`pilot_plan`: a first try at one site on two Saturdays, beside paper."""

    head: PaperHead


def board_sheet(heads: Heads) -> Sheet:
    """The page for the board, with the league's date and the people to call."""
    source = _source(heads)
    paper = BoardPaper(
        head=source.head(),
        retention=procedure.retention(source.league),
        calls=who_to_call(source),
    )
    return source.sheet("board_page", paper)


def parent_sheet(heads: Heads) -> Sheet:
    """The notice for parents, by the league's rules."""
    source = _source(heads)
    league = source.league
    limits, limit_changes = season_limits(source)
    paper = ParentPaper(
        head=source.head(),
        limits=limits,
        limit_changes=limit_changes,
        attempts=procedure.attempts(league),
        late_players=procedure.late_players(league),
        not_weighed=procedure.not_weighed(league),
        minimum_plays=procedure.minimum_plays(league),
        protest=procedure.protest(league),
        asked_first=procedure.first_to_ask(league),
        registrars=_registrars(source),
    )
    return source.sheet("parent_notice", paper)


def pilot_sheet(heads: Heads) -> Sheet:
    """The plan for a first try."""
    source = _source(heads)
    return source.sheet("pilot_plan", PilotPaper(head=source.head()))


def _source(heads: Heads) -> LeagueSource:
    stored = heads.store.events(kind=["league", "division"])
    return LeagueSource(heads, [one.event for one in stored])


def _registrars(source: LeagueSource) -> tuple[str, ...]:
    return next(call.names for call in who_to_call(source) if call.role == REGISTRAR)
