"""A note beside a mark in the book: what to look at before it is relied on."""

from __future__ import annotations

from ledger.derive.book_notes import MarkNote
from ledger.say.procedure import League, first_to_ask

OWN_SIDE = "Marked by the player’s own team. It still counts."
_CARRIES = {"yes": "may carry", "no": "may not carry"}
_OTHER = {"ok": "over", "over": "ok"}


def note(of: MarkNote, mark: str | None, league: League) -> str:
    """The words for one note; `mark` is the one in the book, None for none yet."""
    match of.kind:
        case "moved":
            number = "" if of.number is None else f" {of.number}"
            return f"Marked as {of.team}{number}. It still counts."
        case "own_side":
            return OWN_SIDE
        case "differs":
            assert mark is not None
            ask = first_to_ask(league)
            return f"The scale said {_OTHER[mark]} that day. If the scale is out, ask {ask}."
        case "ruled":
            return f"For {of.game} only: ruled {_CARRIES[of.may_carry]}."
