"""Times as tables show them: the league's local time, with its zone."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

import click

from ledger.say.lines import paragraph
from ledger.store.store import Stored

if TYPE_CHECKING:
    from ledger.derive.answers import Asked


def say_moment(
    events: Iterable[Stored],
    zone: str,
    *,
    game: str | None,
    as_of: str | None,
    known_at: str | None,
) -> None:
    """On standard error, what somebody who asks as of a moment should know of the answer."""
    from ledger.say.moments import as_of_note, known_at_note

    notes = [as_of_note(events, as_of, game, zone)] if as_of else []
    notes += [known_at_note(events, known_at, game, zone)] if known_at and game else []
    for note in filter(None, notes):
        click.echo(paragraph(note), err=True)


def say_moment_of(asked: Asked) -> None:
    """The same, of an answer."""
    say_moment(
        asked.events, asked.zone, game=asked.game, as_of=asked.as_of, known_at=asked.known_at
    )
