"""Every paper of the signed season, and a copy of its ledger to be written to."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.blank_lists import blank_sheet
from ledger.papers.sheets.books import blank_book_sheet, book_sheet
from ledger.papers.sheets.cards import card_sheet
from ledger.papers.sheets.case_forms import blank_case_sheet
from ledger.papers.sheets.hold import Held
from ledger.papers.sheets.lists import list_sheet
from ledger.papers.sheets.mondays import monday_sheet
from ledger.papers.sheets.notices import board_sheet, parent_sheet, pilot_sheet
from ledger.papers.sheets.packets import packet_sheet
from ledger.papers.sheets.play_counts import play_count_sheet
from ledger.papers.sheets.receipts import receipt_sheet
from ledger.papers.sheets.season import season_sheet
from ledger.store.sqlite.store import SqliteStore
from tests.signed_season import CASE, GAME, season

AT = "2026-09-07T18:00:00.000Z"
SHEETS: dict[str, Callable[[SqliteStore], Sheet]] = {
    "list": lambda store: list_sheet(at(store), GAME, "newts"),
    "list as of": lambda store: list_sheet(
        at(store), GAME, "newts", as_of="2026-09-05T13:49:00.000Z"
    ),
    "blank list": lambda store: blank_sheet(at(store), "newts"),
    "play count": lambda store: play_count_sheet(at(store), "newts", GAME),
    "book": lambda store: book_sheet(at(store), "newts", known_at=AT),
    "blank book": lambda store: blank_book_sheet(at(store), "newts"),
    "blank book of no team": lambda store: blank_book_sheet(at(store)),
    "card": lambda store: card_sheet(at(store)),
    "card of a game": lambda store: card_sheet(at(store), GAME),
    "board page": lambda store: board_sheet(at(store)),
    "parent notice": lambda store: parent_sheet(at(store)),
    "pilot plan": lambda store: pilot_sheet(at(store)),
    "receipt": lambda store: receipt_sheet(at(store), signature_with_key(store)),
    "receipt of a sheet": lambda store: receipt_sheet(
        at(store), next(iter(store.events(kind=["countersign"], game=[GAME]))).event.id
    ),
    "blank case": lambda store: blank_case_sheet(at(store)),
    "review packet": lambda store: packet_sheet(at(store), CASE, "review_packet"),
    "protest packet": lambda store: packet_sheet(at(store), CASE, "protest_packet"),
    "monday": lambda store: monday_sheet(at(store), week="1"),
    "season summary": lambda store: season_sheet(at(store)),
}


def signature_with_key(store: SqliteStore) -> str:
    found = [stored.event for stored in store.events(kind=["countersign"], game=[GAME])]
    return next(event.id for event in found if event.data.get("how") == "key")


def at(store: SqliteStore) -> Heads:
    return Heads(store, printed_at=AT)


@contextmanager
def copied(path: Path, signed: SqliteStore) -> Iterator[SqliteStore]:
    """A copy of that very ledger, to be written to."""
    with season(path) as store:
        assert store.last() == signed.last()
        yield store


def where(held: Held) -> tuple[str, int | None, int | None]:
    assert held.difference
    return held.verdict, held.difference.page, held.difference.line
