"""The empty form of a case: the question, what was said, and the determination."""

from __future__ import annotations

from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.context import CasePaper
from ledger.papers.sheets.source import LeagueSource
from ledger.say import procedure
from ledger.store.store import Store


def blank_case_sheet(store: Store, *, heads: Heads | None = None) -> Sheet:
    """The form, with this league's reviewers and time limits on it."""
    heads = heads or Heads(store)
    source = LeagueSource(heads, [one.event for one in heads.store.events(kind=["league"])])
    league = source.league
    paper = CasePaper(
        head=source.head(),
        reviewers=(
            ("A roster", procedure.reviewers(league, "roster")),
            ("Anything else", procedure.reviewers(league, "other")),
        ),
        protest=procedure.protest(league),
        decide=procedure.decide(league),
    )
    return source.sheet("blank_case", paper)
