"""weighbook load FOLDER"""

from __future__ import annotations

from functools import partial
from pathlib import Path

import click

from ledger.commands.asking import answered, note_is_fine_option
from ledger.commands.shared import chain_option, store_option, to_stderr
from ledger.errors import count_of


@click.command(short_help="Bring a season folder into the ledger.")
@click.argument("folder", type=click.Path(path_type=Path, exists=True, file_okay=False))
@note_is_fine_option
@store_option
@chain_option
def load(folder: Path, store: Path, chain: str) -> None:
    """Bring a season folder into the ledger, whole or not at all.

    The first load makes the ledger. Loading the folder again adds only what is
    new; a line that was loaded before and has changed is refused.

    Example: weighbook load sample_season
    """
    from ledger.actions.loading import load as load_folder
    from ledger.commands.progress import Bar
    from ledger.record.folder import count_lines, read_folder

    with Bar(f"Reading {folder}") as bar:
        bar.start(count_lines(folder))
        contents = read_folder(folder, on_record=bar.step)
    count = answered(partial(load_folder, store, contents, tell=to_stderr), chain)
    if contents.unread:
        click.echo(f"Not read: {', '.join(contents.unread)}.", err=True)
    held = f"{count_of(count.rows, 'row')} and {count_of(count.lines, 'line')}"
    if not count.rows_added and not count.lines_added:
        click.echo(f"{store} holds all of {folder} already ({held}); nothing was added.")
        return
    rows, lines = count_of(count.rows_added, "row"), count_of(count.lines_added, "statement")
    click.echo(f"Added {rows} of the set-up and {lines} to {store} (the folder has {held}).")
