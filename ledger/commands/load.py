"""weighbook load FOLDER"""

from __future__ import annotations

import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.asking import act_options, answered, echo_signed, note_is_fine_option
from ledger.commands.shared import opened, show_lines, to_stderr
from ledger.commands.typed import OFFICIAL
from ledger.errors import InputError, count_of
from ledger.say.lines import paragraph

if TYPE_CHECKING:
    from ledger.record.folder import Folder


@click.command(short_help="Load a season folder into the ledger.")
@click.argument("folder", type=click.Path(path_type=Path, exists=True, file_okay=False))
@click.option("--correct", is_flag=True, help="Correct rows that were loaded before.")
@click.option("--by", type=OFFICIAL, help="The official who corrects (with --correct).")
@click.option("--reason", help="Why, without a child's name (with --correct).")
@click.option("--yes", is_flag=True, help="Do not ask for confirmation.")
@note_is_fine_option
@act_options
def load(
    folder: Path,
    correct: bool,
    by: str | None,
    reason: str | None,
    yes: bool,
    store: Path,
    chain: str,
    passphrase_file: Path | None,
) -> None:
    """Load a season folder into the ledger, all of it or none of it.

    The first load makes the ledger. Load the folder again to add what is new.
    If a loaded line or row has changed since, weighbook refuses the folder.

    With --correct, changed rows of the tables and keys of league.toml become
    corrections, for the whole season. The earlier rows stay in the ledger. First,
    weighbook lists the answers that change.

    Examples: weighbook load sample_season; weighbook load sample_season --correct
    --by registrar --reason "typing mistake"
    """
    from ledger.actions.loading import points_to_settle
    from ledger.say.new_season import TO_SETTLE, still_to_settle

    if (by is not None, reason is not None) != (correct, correct):
        hint = "Type: weighbook load FOLDER --correct --by OFFICIAL --reason TEXT"
        raise InputError("--correct, --by and --reason belong together", hint=hint)
    if (points := points_to_settle(folder)) is not None:
        to_stderr(paragraph(still_to_settle(str(folder / TO_SETTLE), points)))
        if points and not yes and not store.exists() and sys.stdin.isatty():
            to_stderr("Once loaded, a row can be corrected, but not deleted.")
            click.confirm("Load the folder all the same?", default=False, abort=True, err=True)
    contents = _read(folder, has_more_faults=not correct)
    if by is not None and reason is not None:
        _correct(store, contents, by, reason, chain, passphrase_file, yes=yes)
        return
    _load(folder, store, contents, chain)


def _read(folder: Path, *, has_more_faults: bool) -> Folder:
    """Read the folder; faults of its day files wait for those that the load finds, if any."""
    from ledger.commands.progress import Bar
    from ledger.record.folder import count_lines, read_folder, read_readable

    read = read_readable if has_more_faults else read_folder
    with Bar(f"Reading {folder}") as bar:
        bar.start(count_lines(folder))
        return read(folder, on_record=bar.step)


def _load(folder: Path, store: Path, contents: Folder, chain: str) -> None:
    from ledger.actions.loading import load as load_folder

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


def _correct(
    store: Path,
    contents: Folder,
    by: str,
    reason: str,
    chain: str,
    passphrase_file: Path | None,
    *,
    yes: bool,
) -> None:
    from ledger.actions.correcting import correct_tables, look_before_correcting
    from ledger.say.corrections import correction_lines
    from ledger.store.league import league_zone

    with opened(store) as ledger:
        look = partial(look_before_correcting, ledger, contents, by=by, reason=reason)
        shown = answered(look, chain)
        show_lines(correction_lines(shown.found, shown.answers, league_zone(ledger)))
        if not yes:
            click.confirm("Record this correction?", abort=True)
        done = answered(partial(correct_tables, ledger, shown), chain, passphrase_file)
    ids = ", ".join(act.event_id for act in done.acts)
    click.echo(f"Corrected {count_of(len(done.acts), 'row')}; recorded as {ids}.")
    echo_signed(done.acts[0])
