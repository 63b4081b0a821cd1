"""The empty form of a case: the question, what was said, and the determination."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.context import PaperHead
from ledger.papers.sheets.source import LeagueSource
from ledger.say import procedure


@dataclass(frozen=True, slots=True, kw_only=True)
class CasePaper:
    """`blank_case`: a question and its determination, all by hand.

    `reviewers` are pairs of what is asked and who decides it, in order; the rest are the league's
    own rules, a sentence each.
    """

    head: PaperHead
    reviewers: tuple[tuple[str, str], ...]
    protest: str
    decide: str
    statement_rows: int = 3
    exhibit_rows: int = 2
    referral_rows: int = 2


def blank_case_sheet(heads: Heads) -> Sheet:
    """The form, with this league's reviewers and time limits on it."""
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
