"""weighbook enter of a file that the page saved: what a device could not send."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.asking import answered
from ledger.commands.shared import opened, store_words
from ledger.errors import FolderError, count_of

if TYPE_CHECKING:
    from ledger.actions.saved_taps import Refused


def enter_saved_file(path: Path, store: Path, chain: str, *, yes: bool) -> None:
    """Record its taps, each all or none; exit with 1 if one was refused."""
    from ledger.actions.saved_taps import enter_saved, read_saved
    from ledger.actions.taps import Tap

    with opened(store) as ledger:
        taps = read_saved(ledger, path)
        said = [one for tap in taps if isinstance(tap.tap, Tap) for one in tap.tap.statements]
        who = ", ".join(dict.fromkeys(str(one.by) for one in said)) or "nobody"
        click.echo(f"{path.name}: {count_of(len(taps), 'tap')} by {who}.")
        if not yes:
            click.confirm("Record what the ledger does not hold yet?", abort=True)
        done = answered(partial(enter_saved, ledger, taps), chain)
    count = len(done.event_ids)
    if count:
        ids = done.event_ids
        through = ids[0] if count == 1 else f"{ids[0]} to {ids[-1]}"
        click.echo(f"Recorded {count_of(count, 'entry', 'entries')} as {through}.")
    if done.held:
        click.echo(f"Already recorded: {count_of(done.held, 'tap')}.")
    for refused in done.refused:
        click.echo(_why(refused), err=True)
    games = dict.fromkeys(str(game) for one in said if (game := getattr(one, "game", None)))
    for game in games:
        click.echo(f"  What to settle: weighbook findings --game {game}{store_words()}")
    if done.refused:
        click.get_current_context().exit(1)


def _why(refused: Refused) -> str:
    first, last = refused.lines[0], refused.lines[-1]
    lines = f"Line {first}" if first == last else f"Lines {first} to {last}"
    error = refused.error
    why = "; ".join(map(str, error.faults)) if isinstance(error, FolderError) else error.message
    return f"{lines}, not recorded: {why}"
