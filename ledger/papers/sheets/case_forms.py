"""The empty form of a case: question, receipt, statements, decision."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.context import PaperHead
from ledger.papers.sheets.source import LeagueSource
from ledger.say import procedure


@dataclass(frozen=True, slots=True, kw_only=True)
class CasePaper:
    """`blank_case`: a question or protest and the decision, all by hand.

    `reviewers` are pairs: what is asked, and who decides it, in order. `protest` and `decide` are
    the league's rules, a sentence each.
    """

    head: PaperHead
    reviewers: tuple[tuple[str, str], ...]
    protest: str
    decide: str
    statement_rows: int = 3
    referral_rows: int = 2


def blank_case_sheet(heads: Heads) -> Sheet:
    """The form with this league's reviewers and time limits."""
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
