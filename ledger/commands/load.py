"""weighbook load FOLDER"""

from __future__ import annotations

from functools import partial
from pathlib import Path

import click

from ledger.commands.asking import answered, note_is_fine_option
from ledger.commands.shared import chain_option, store_option, to_stderr
from ledger.errors import count_of


@click.command(short_help="Load a season folder into the ledger.")
@click.argument("folder", type=click.Path(path_type=Path, exists=True, file_okay=False))
@note_is_fine_option
@store_option
@chain_option
def load(folder: Path, store: Path, chain: str) -> None:
    """Load a season folder into the ledger, all of it or none of it.

    The first load makes the ledger. Load the folder again to add what is new.
    If a loaded line has changed since, weighbook refuses the folder.

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
        click.echo(f"All of {folder} is already in {store} ({held}). Nothing was added.")
        return
    rows, lines = (
        count_of(count.rows_added, "setup row"),
        count_of(count.lines_added, "entry", "entries"),
    )
    click.echo(f"Added {rows} and {lines} to {store} (the folder has {held}).")
