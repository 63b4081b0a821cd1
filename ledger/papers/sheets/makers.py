"""Make a paper by the arguments that its paper.json holds: the document's name says with what."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from ledger.errors import InputError
from ledger.papers.press.heads import Heads
from ledger.papers.press.sheet import Sheet
from ledger.papers.sheets.books import blank_book_sheet, book_sheet
from ledger.papers.sheets.cards import card_sheet
from ledger.papers.sheets.case_forms import blank_case_sheet
from ledger.papers.sheets.lists import blank_sheet, list_sheet
from ledger.papers.sheets.packets import packet_sheet
from ledger.papers.sheets.receipts import receipt_sheet
from ledger.papers.sheets.season import season_sheet

Arguments = Mapping[str, str | bool]
_MOMENTS = {"as_of", "known_at"}


def make_again(heads: Heads, document: str, arguments: Arguments) -> Sheet:
    """The paper at the moment of `heads`.

    Raises InputError for a document or arguments that are not known, or that this ledger has not.
    """
    if document not in _MAKERS:
        hint = f"Known: {', '.join(sorted(_MAKERS))}."
        raise InputError(f"there is no paper {document!r}", hint=hint)
    needed, optional, make = _MAKERS[document]
    if not needed <= arguments.keys() <= needed | optional:
        hint = f"Needed: {', '.join(sorted(needed))}; may be given: {', '.join(sorted(optional))}."
        raise InputError(f"the paper {document!r} is not made from these arguments", hint=hint)
    return make(heads, **arguments)


def _list(heads: Heads, *, game: str, team: str, **moments: Any) -> Sheet:
    return list_sheet(heads.store, game, team, heads=heads, **moments)


def _blank_list(heads: Heads, *, game: str, team: str) -> Sheet:
    return blank_sheet(heads.store, team, game, heads=heads)


def _book(heads: Heads, *, team: str | None = None, blank: bool = False, **moments: Any) -> Sheet:
    if blank:
        return blank_book_sheet(heads.store, team, heads=heads)
    if team is None:
        raise InputError("a book is of a team")
    return book_sheet(heads.store, team, heads=heads, **moments)


def _card(heads: Heads, *, game: str | None = None) -> Sheet:
    return card_sheet(heads.store, game, heads=heads)


def _receipt(heads: Heads, *, event: str) -> Sheet:
    return receipt_sheet(heads.store, event, heads=heads)


def _blank_case(heads: Heads) -> Sheet:
    return blank_case_sheet(heads.store, heads=heads)


def _review_packet(heads: Heads, *, case: str, **moments: Any) -> Sheet:
    return packet_sheet(heads.store, case, "review_packet", heads=heads, **moments)


def _protest_packet(heads: Heads, *, case: str, **moments: Any) -> Sheet:
    return packet_sheet(heads.store, case, "protest_packet", heads=heads, **moments)


def _season(heads: Heads, **moments: Any) -> Sheet:
    return season_sheet(heads.store, heads=heads, **moments)


_MAKERS: Mapping[str, tuple[set[str], set[str], Callable[..., Sheet]]] = {
    "ineligible_list": ({"game", "team"}, _MOMENTS, _list),
    "blank_list": ({"game", "team"}, set(), _blank_list),
    "book": (set(), {"team", "blank", *_MOMENTS}, _book),
    "card": (set(), {"game"}, _card),
    "receipt": ({"event"}, set(), _receipt),
    "blank_case": (set(), set(), _blank_case),
    "review_packet": ({"case"}, _MOMENTS, _review_packet),
    "protest_packet": ({"case"}, _MOMENTS, _protest_packet),
    "season_summary": (set(), _MOMENTS, _season),
}
"""By document: arguments that are needed, that may be given, and what makes it."""
