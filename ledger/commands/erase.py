"""weighbook erase PLAYER, weighbook redact, weighbook retention"""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ledger.commands.asking import act_options, answered, echo_signed, note_is_fine_option
from ledger.commands.shared import FILE, opened
from ledger.commands.typed import OFFICIAL, say_taken
from ledger.errors import InputError, count_of

if TYPE_CHECKING:
    from ledger.actions.erasing import Erased
    from ledger.store.not_erased import OutOfReach

by_option = click.option("--by", type=OFFICIAL, required=True, help="The official who orders it.")
reason_option = click.option(
    "--reason", required=True, help="Why, without the child's name. Kept outside the chain."
)
yes_option = click.option("--yes", is_flag=True, help="Do not ask for confirmation.")


@click.command(short_help="Erase a child's name and notes.")
@click.argument("player")
@reason_option
@by_option
@note_is_fine_option
@click.option("--note-of", multiple=True, metavar="EVENT", help="Erase this event's note too.")
@yes_option
@act_options
def erase(
    player: str,
    reason: str,
    by: str,
    note_of: tuple[str, ...],
    yes: bool,
    store: Path,
    **answers: Any,
) -> None:
    """Erase the name of the child with the id PLAYER, and every note about the
    child. The entries stay, and the audit still passes. First, weighbook lists
    what it cannot erase, for you to deal with.

    Example: weighbook erase k297 --by registrar --reason "asked by a parent"
    """
    from ledger.actions.erasing import erase_child, look_before_erasing
    from ledger.actions.typed_cells import typed_player

    with opened(store) as ledger:
        typed, player = player, typed_player(ledger, player)[0]
        say_taken(typed, "player", player)
        shown = answered(
            partial(look_before_erasing, ledger, player, by=by, reason=reason, note_of=note_of)
        )
        _say_rest(player, shown.rest)
        if shown.is_left and not yes:
            what = f"the name of {player} and all notes about {player}"
            click.confirm(f"Erase {what}? You cannot undo this.", abort=True)
        done = answered(partial(erase_child, ledger, shown), **answers)
    if done:
        _say_erased(done)
    else:
        click.echo("There is nothing left to erase, and the ledger file holds no old bytes of it.")


def _say_erased(done: Erased) -> None:
    click.echo(f"Erased {count_of(done.texts, 'text')}; recorded as {done.act.event_id}.")
    echo_signed(done.act)


def _say_rest(player: str, rest: OutOfReach) -> None:
    from ledger.say.words import printable

    click.echo("These may still name the child. Please deal with them:")
    click.echo(f"- the season folder: {', '.join(rest.files) or 'no file names this child'}")
    for kept in rest.exhibits:
        click.echo(f"- {kept.what} {printable(kept.name)}: {kept.sha256}")
    if rest.exhibits:
        click.echo("  (to replace one with a redacted copy: weighbook redact SHA256 FILE)")
    if rest.notes:
        click.echo(f"- notes of the child's cases: {' '.join(rest.notes)}")
    mentions = rest.mentions
    for event, fields in mentions.texts:
        click.echo(f"- the name, or a part of it, in {event.id}: {event.kind}, {', '.join(fields)}")
    if rest.notes or mentions.texts:
        click.echo("  (read them: weighbook prove EVENT --disclose name,note,reason --to FILE,")
        click.echo(f"  weighbook check FILE; then: weighbook erase {player} --note-of EVENT …)")
    for other in mentions.namesakes:
        click.echo(f"- {other} has the same name (the same child? weighbook erase {other})")
    for what, text, event_id in mentions.staying:
        click.echo(f"- the {what} {printable(text)}, since {event_id}: it stays in the ledger")
    if not rest.is_named:
        click.echo("- other texts: the ledger has no name of this child to look for")
    click.echo("- printed papers, and scans of them elsewhere")
    click.echo("- backups and copies of the ledger, and proofs and bundles already handed out")


@click.command(short_help="Replace an exhibit with a redacted copy.")
@click.argument("sha256")
@click.argument("file", type=FILE)
@reason_option
@by_option
@note_is_fine_option
@act_options
def redact(sha256: str, file: Path, reason: str, by: str, store: Path, **answers: Any) -> None:
    """Replace the exhibit SHA256 (the first 8 characters are enough) with the
    redacted copy FILE. The ledger keeps both digests and deletes the old file.

    Example: weighbook redact 9f86d081 copy.pdf --by registrar --reason "a name"
    """
    from ledger.actions.erasing import redact as put_copy
    from ledger.store.kept_files import read_to_keep

    content = read_to_keep(file)
    with opened(store) as ledger:
        act = partial(put_copy, ledger, sha256, content, file.name, by=by, reason=reason)
        done = answered(act, **answers)
    click.echo(f"Kept the copy and deleted the old file; recorded as {done.event_id}.")
    echo_signed(done)


@click.command(short_help="What the league's rule says to erase by now.")
@click.option("--apply", "do_it", is_flag=True, help="Erase what is due.")
@click.option("--by", type=OFFICIAL, help="The official who orders it (with --apply).")
@click.option("--on", metavar="DATE", help="Use this date as today, such as 2027-07-01.")
@yes_option
@act_options
def retention(
    do_it: bool, by: str | None, on: str | None, yes: bool, store: Path, **answers: Any
) -> None:
    """Show which personal text is due for erasure by the league's rule
    (keep_personal_until in league.toml). With --apply, erase it.

    Example: weighbook retention
    """
    from ledger.actions.erasing import due_by_rule, erase_due

    if do_it and by is None:
        raise InputError("--apply needs --by", hint="Add --by and the official who orders it.")
    with opened(store) as ledger:
        due = due_by_rule(ledger, on=on, by=by, to_erase=do_it)
        click.echo(due.sentence)
        if do_it and by is not None:
            if due.events and not yes:
                asked = f"Erase {count_of(due.texts, 'text')}? You cannot undo this."
                click.confirm(asked, abort=True)
            done = answered(partial(erase_due, ledger, due, by=by), **answers)
            if done:
                _say_erased(done)
