"""The corrections of tables among events, and which of them may be behind a change."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ledger.chain.event import Event
from ledger.record.corrections import is_correction
from ledger.store.store import Stored

_MARK = '"corrects":'
_ANYWHERE = ("league", "official", "game")
"""A correction of one of these may change the answers of any game."""


def corrections_in(stored: Iterable[Stored]) -> list[Event]:
    """The corrections among these events. Others are not parsed: that would take too long."""
    return [one.event for one in stored if _MARK in one.body and is_correction(one.event)]


def behind_a_change(
    corrections: Sequence[Event], game: str, player: str, *, is_explained: bool
) -> tuple[Event, ...]:
    """Which corrections may have changed a player's answer in a game.

    Those of the player and of the game, or, if nothing else explains the change, any other that
    could.
    """
    own = [one for one in corrections if one.player == player or one.game == game]
    if own or is_explained:
        return tuple(own)
    return tuple(one for one in corrections if one.kind in _ANYWHERE)
