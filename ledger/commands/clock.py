"""The note beside an answer as of a moment."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from ledger.commands.shared import to_stderr
from ledger.say.lines import paragraph
from ledger.store.store import Stored

if TYPE_CHECKING:
    from ledger.derive.answers import Asked


def say_moment(
    events: Iterable[Stored], zone: str, game: str | None, as_of: str | None, known_at: str | None
) -> None:
    """Say on standard error what the ledger recorded only after the moment of this answer."""
    from ledger.say.moments import as_of_note, known_at_note

    notes = [as_of_note(events, as_of, game, zone)] if as_of else []
    notes += [known_at_note(events, known_at, game, zone)] if known_at and game else []
    for note in filter(None, notes):
        to_stderr(paragraph(note))


def say_moment_of(asked: Asked) -> None:
    """Say the same about an answer."""
    say_moment(asked.events, asked.zone, asked.game, asked.as_of, asked.known_at)
