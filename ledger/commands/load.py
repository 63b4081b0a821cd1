"""weighbook load FOLDER"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.note_question import note_is_fine_option, settle
from ledger.commands.shared import chain_option, opened, store_option, to_stderr
from ledger.counts import count_of

if TYPE_CHECKING:
    from ledger.record.folder import Folder
    from ledger.record.questions import Question


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
    from ledger.commands.progress import Bar
    from ledger.record.folder import count_lines, read_folder
    from ledger.store.loading import load_folder
    from ledger.store.opening import open_or_make

    with Bar(f"Reading {folder}") as bar:
        bar.start(count_lines(folder))
        contents = read_folder(folder, on_record=bar.step)
    settle(_new_questions(contents, store))
    with open_or_make(store, tell=to_stderr) as ledger, ledger.writing() as writing:
        count = load_folder(writing, contents, chain=chain)
    if contents.unread:
        click.echo(f"Not read: {', '.join(contents.unread)}.", err=True)
    held = f"{count_of(count.rows, 'row')} and {count_of(count.lines, 'line')}"
    if not count.rows_added and not count.lines_added:
        click.echo(f"{store} holds all of {folder} already ({held}); nothing was added.")
        return
    rows, lines = count_of(count.rows_added, "row"), count_of(count.lines_added, "statement")
    click.echo(f"Added {rows} of the set-up and {lines} to {store} (the folder has {held}).")


def _new_questions(contents: Folder, store: Path) -> list[Question]:
    """What to ask about the rows and lines that the ledger does not hold yet."""
    from ledger.record.questions import questions_of_folder
    from ledger.store.loaded import read_loaded

    asked = list(questions_of_folder(contents))
    if asked and store.exists():
        with opened(store) as ledger:
            loaded = read_loaded(ledger)
        asked = [(key, question) for key, question in asked if not loaded.holds(key)]
    return [question for _, question in asked]
