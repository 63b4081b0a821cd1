"""weighbook erase PLAYER, weighbook redact, weighbook retention"""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.asking import answered, echo_signed, note_is_fine_option
from ledger.commands.passphrase import by_passphrase_option
from ledger.commands.shared import chain_option, opened, store_option, wrong
from ledger.errors import count_of

if TYPE_CHECKING:
    from ledger.actions.erasing import Erased
    from ledger.store.not_erased import OutOfReach

by_option = click.option("--by", required=True, help="The official who has it done.")
reason_option = click.option(
    "--reason", required=True, help="Why, without the child's name; kept outside the chain."
)
yes_option = click.option("--yes", is_flag=True, help="Do not ask again.")


@click.command(short_help="Erase a child's name and notes.")
@click.argument("player")
@reason_option
@by_option
@note_is_fine_option
@click.option("--note-of", multiple=True, metavar="EVENT", help="Erase this event's note too.")
@yes_option
@by_passphrase_option
@store_option
@chain_option
def erase(
    player: str,
    reason: str,
    by: str,
    note_of: tuple[str, ...],
    yes: bool,
    passphrase_file: Path | None,
    store: Path,
    chain: str,
) -> None:
    """Erase the name of the child with the id PLAYER, and every note about the
    child. The statements stay, and the audit still passes. First lists what this
    cannot reach, for a person to deal with.

    Example: weighbook erase k297 --by registrar --reason "asked by a parent"
    """
    from ledger.actions.erasing import erase_child, look_before_erasing

    with opened(store) as ledger:
        shown = answered(
            partial(look_before_erasing, ledger, player, by=by, reason=reason, note_of=note_of)
        )
        _say_rest(player, shown.rest)
        if shown.is_left and not yes:
            asked = f"The name of {player} and notes about {player} cannot be brought back."
            click.confirm(f"{asked} Erase?", abort=True)
        done = answered(partial(erase_child, ledger, shown), chain, passphrase_file)
    if done:
        _say_erased(done)
    else:
        click.echo("There is nothing left to erase, and no old byte in the ledger's file.")


def _say_erased(done: Erased) -> None:
    click.echo(f"Erased {count_of(done.texts, 'text')}; recorded as {done.act.event_id}.")
    echo_signed(done.act)


def _say_rest(player: str, rest: OutOfReach) -> None:
    from ledger.say.words import printable

    click.echo("What may still name the child, for a person to deal with:")
    click.echo(f"- the season folder: {', '.join(rest.files) or 'no file names this child'}")
    for kept in rest.exhibits:
        click.echo(f"- {kept.what} {printable(kept.name)}: {kept.sha256}")
    if rest.exhibits:
        click.echo("  (weighbook redact SHA256 FILE puts a redacted copy in its place)")
    if rest.notes:
        click.echo(f"- notes of its cases: {' '.join(rest.notes)}")
    mentions = rest.mentions
    for event, fields in mentions.texts:
        click.echo(f"- its name, or a part of it, in {event.id}: {event.kind}, {', '.join(fields)}")
    if rest.notes or mentions.texts:
        click.echo("  (read them: weighbook prove EVENT --disclose name,note,reason --to FILE,")
        click.echo(f"  weighbook check FILE; then: weighbook erase {player} --note-of EVENT …)")
    for other in mentions.namesakes:
        click.echo(f"- {other} has the same name (the same child? weighbook erase {other})")
    for what, text, event_id in mentions.staying:
        click.echo(f"- the {what} {printable(text)}, since {event_id}: it stays in the ledger")
    if not rest.is_named:
        click.echo("- other texts: the ledger holds no name of this child to look for")
    click.echo("- papers that were printed, and scans of them elsewhere")
    click.echo("- backups and copies of the ledger, and proofs and bundles that were handed out")


@click.command(short_help="Put a redacted copy in the place of an exhibit.")
@click.argument("sha256")
@click.argument("file", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@reason_option
@by_option
@note_is_fine_option
@by_passphrase_option
@store_option
@chain_option
def redact(
    sha256: str,
    file: Path,
    reason: str,
    by: str,
    passphrase_file: Path | None,
    store: Path,
    chain: str,
) -> None:
    """Put the redacted copy FILE in the place of the exhibit SHA256 (the first 8
    characters are enough). The digests of both stay in the ledger; the old file
    goes.

    Example: weighbook redact 9f86d081 copy.pdf --by registrar --reason "a name"
    """
    from ledger.actions.erasing import redact as put_copy
    from ledger.store.kept_files import read_to_keep

    content = read_to_keep(file)
    with opened(store) as ledger:
        act = partial(put_copy, ledger, sha256, content, file.name, by=by, reason=reason)
        done = answered(act, chain, passphrase_file)
    click.echo(f"The copy is kept, the old file is gone; recorded as {done.event_id}.")
    echo_signed(done)


@click.command(short_help="What the league's retention rule makes due.")
@click.option("--apply", "do_it", is_flag=True, help="Erase what is due.")
@click.option("--by", help="The official who has it done (with --apply).")
@click.option("--on", metavar="DATE", help="As if today were this date, such as 2027-07-01.")
@yes_option
@by_passphrase_option
@store_option
@chain_option
def retention(
    do_it: bool,
    by: str | None,
    on: str | None,
    yes: bool,
    passphrase_file: Path | None,
    store: Path,
    chain: str,
) -> None:
    """Personal text that the league's written rule (keep_personal_until in
    league.toml) makes due, and with --apply its erasure.

    Example: weighbook retention
    """
    from ledger.actions.erasing import due_by_rule, erase_due

    if do_it and by is None:
        raise wrong("--apply: nobody is named", "Needed: --by, the official who has it done.")
    with opened(store) as ledger:
        due = due_by_rule(ledger, on=on, by=by, to_erase=do_it)
        click.echo(due.sentence)
        if do_it and by is not None:
            if due.events and not yes:
                asked = f"{count_of(due.texts, 'text')} cannot be brought back. Erase?"
                click.confirm(asked, abort=True)
            done = answered(partial(erase_due, ledger, due, by=by), chain, passphrase_file)
            if done:
                _say_erased(done)
