"""A note beside a mark in the book: what to look at before it is relied on."""

from __future__ import annotations

from ledger.derive.book_notes import MarkNote

OWN_SIDE = "by the player’s own side"
DIFFERS = "differs from the weigh that day"
_CARRIES = {"yes": "may carry", "no": "may not carry"}


def note(of: MarkNote) -> str:
    """The words for one note."""
    if of.kind == "ruled":
        return f"ruled in {of.game}: {_CARRIES[of.may_carry]} (case {of.case})"
    return OWN_SIDE if of.kind == "own_side" else DIFFERS
