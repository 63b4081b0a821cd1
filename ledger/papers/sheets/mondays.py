"""The Monday page: a day of games for an association, players by number."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.derive.monday import monday
from ledger.errors import InputError
from ledger.papers.press.heads import Heads
from ledger.papers.press.letters import printable_name
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.context import PaperHead
from ledger.papers.sheets.source import LeagueSource
from ledger.say.monday import ANSWERED, ASK, CONFIRMED, TO_ASK, TO_CONFIRM, Page, names_of, page


@dataclass(frozen=True, slots=True, kw_only=True)
class MondayPaper:
    """`monday`: the page in words, and the headings and words that both forms share.

    `running` is the title for the head of later pages.
    """

    head: PaperHead
    page: Page
    running: str
    to_confirm: str = TO_CONFIRM
    confirmed: str = CONFIRMED
    to_ask: str = TO_ASK
    ask: str = ASK
    answered: str = ANSWERED


def monday_sheet(
    heads: Heads,
    association: str | None = None,
    *,
    week: str | None = None,
    as_of: str | None = None,
    known_at: str | None = None,
) -> Sheet:
    """The page for an association, or for the league; by default of the last day with games.

    What was due is decided at the moment asked for, or when it was printed.
    """
    if week is not None and not week.isdecimal():
        raise InputError(f"--week: found '{week}'", hint="Enter a whole number, such as 2.")
    store = heads.store
    found = monday(
        store,
        week=None if week is None else int(week),
        association=association,
        as_of=as_of,
        known_at=known_at,
        now=as_of or known_at or heads.printed_at,
    )
    chain, _, _ = store.last().id.rpartition(":")
    setup = [one.event for one in store.events(kind=["league", "division", "team"])]
    source = LeagueSource(heads, setup, chain, as_of=as_of, known_at=known_at)
    shown = page(found, names_of(store, found, printable_name))
    paper = MondayPaper(head=source.head(), page=shown, running=shown.running)
    asked = {"association": association, "week": week}
    given = {name: text for name, text in asked.items() if text is not None}
    return source.sheet("monday", paper, **given)
