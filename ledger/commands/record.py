"""weighbook record KIND: one statement, its options made from the kind's model."""

from __future__ import annotations

import inspect
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, get_args, get_origin

import click

from ledger.commands.acting import echo_signed, signer_of
from ledger.commands.note_question import note_is_fine_option, settle
from ledger.commands.passphrase import by_passphrase_option
from ledger.commands.shared import OFFICE, chain_option, opened, store_option, store_words
from ledger.commands.texts import paragraph

if TYPE_CHECKING:
    from ledger.record.statements import Statement

_HELP = {
    "at": "When it happened (now, unless given).",
    "entered": "When it was written down (now, unless given).",
    "game": "The game's id.",
    "team": "The team's id.",
    "player": "The player's id.",
    "number": "The player's number.",
    "name": "With the number: the name of somebody who is not on the roster.",
    "by": "The official who states it.",
    "value": "What was found.",
    "reason": "Why, in your own words; kept outside the chain, and can be erased.",
    "half": "The half; 3 is overtime.",
    "count": "How many so far in this half.",
    "reading": "What the scale read under the check weight, in lb.",
    "limit": "What the scale is set to, in lb.",
    "initials": "The weighmaster's initials, at most 6 characters.",
    "case": "The case's id.",
    "to": "The role.",
    "may_play": "What it decides for this player in this game.",
    "may_carry": "What it decides for this player in this game.",
    "kickoff": "The new kickoff.",
    "site": "The new site.",
    "ref": "A label, for a later line to point at.",
    "target": "The ref or event id of the mistaken statement.",
    "note": "A remark; kept outside the chain, and can be erased.",
}
_HELP_OF_KIND = {
    ("number_change", "number"): "The new number.",
    ("enter_player", "player"): "A new id, without a word of the child's name.",
    ("enter_player", "name"): "The child's name; kept outside the chain, and can be erased.",
    ("trained", "value"): "The id of the official who was trained.",
    ("assign", "team"): "The team to stand at the scale for.",
    ("assign", "value"): "The id of the official who is to stand at the scale.",
    ("appoint", "value"): "The official's id, new or known.",
    ("appoint", "name"): "The name of a new official.",
    ("appoint", "game"): "The game the role is held in; without it, the whole season.",
    ("half", "half"): "The half that has ended.",
    ("case_exhibit", "value"): "The file's SHA-256.",
    ("ruling", "value"): "How it was decided.",
}
_HELP_OF_WORDS = {"reason": "Why.", "half": "The half."}
_ACTS = {"season_close": "close the season"}
"""Kinds that need a role when they are recorded here; in a day file they are a fact like any."""
_METAVARS = {"at": "TIME", "entered": "TIME", "kickoff": "TIME", "reading": "LB", "limit": "LB"}


class _Kinds(click.Group):
    """A subcommand for every kind of statement."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        from ledger.record.statements import KINDS

        return list(KINDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        from ledger.record.statements import KINDS

        kind = cmd_name.replace("-", "_")
        return _command(KINDS[kind]) if kind in KINDS else None

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        from ledger.record.statements import KINDS
        from ledger.suggest import suggest

        if self.get_command(ctx, args[0]) is None and (found := suggest(args[0], KINDS)):
            ctx.fail(f"No such command '{args[0]}'. Near it: {', '.join(found)}.")
        return super().resolve_command(ctx, args)


@click.group(cls=_Kinds, short_help="State one thing: a weigh, a mark, a listing, …")
def record() -> None:
    """State one thing, now. Nothing stated is ever changed: a mistake is
    withdrawn by a later statement, and both stay.

    Example: weighbook record weigh --game acorn-1a --team newts --number 12
    --by marmots-wm3 --value ok
    """


def _command(model: type[Statement]) -> click.Command:
    from ledger.record.fields import COLUMNS

    columns = list(COLUMNS)
    needed = [name for name, field in model.model_fields.items() if field.is_required()]
    names = sorted(model.model_fields, key=lambda name: (name not in needed, columns.index(name)))
    options: list[click.Parameter] = [_option(model, name, name in needed) for name in names]
    text = inspect.getdoc(model) or ""
    command = click.Command(
        model.kind,
        params=options,
        callback=partial(_record, model.kind),
        help=text,
        short_help=text,
    )
    if model.kind in _ACTS:
        command = by_passphrase_option(command)
    return chain_option(store_option(note_is_fine_option(command)))


def _option(model: type[Statement], name: str, needed: bool) -> click.Option:
    required = needed and name not in ("at", "entered")
    said = _HELP_OF_KIND.get((model.kind, name)) or _HELP[name]
    if choices := _choices(model, name):
        said = f"{_HELP_OF_WORDS.get(name, said)} One of: {', '.join(choices)}."
    return click.Option(
        [f"--{name.replace('_', '-')}", name],
        required=required,
        help=said,
        metavar=_METAVARS.get(name, "TEXT"),
    )


def _choices(model: type[Statement], name: str) -> list[str]:
    """The words that the field allows; none where it allows any text."""
    annotation: Any = model.model_fields[name].annotation
    for part in (annotation, *get_args(annotation)):
        if get_origin(part) is Literal:
            return [str(value) for value in get_args(part)]
    return []


def _record(
    kind: str, store: Path, chain: str, passphrase_file: Path | None = None, **cells: str | None
) -> None:
    from ledger.commands.clock import league_zone
    from ledger.errors import FolderError
    from ledger.record.questions import questions_of
    from ledger.record.reading import Place, read_statement
    from ledger.record.times import now_utc, zone
    from ledger.say.recorded import recorded_lines
    from ledger.store.acts import check_may
    from ledger.store.recording import record_alone, record_statement
    from ledger.store.snapshot import Snapshot

    given = {name: text for name, text in cells.items() if text}
    now = now_utc()
    given = {"kind": kind, "at": now, "entered": now} | given
    with opened(store) as ledger:
        local = league_zone(ledger)
        statement, faults = read_statement(given, zone(local), Place())
        if statement is None:
            raise FolderError(faults)
        signer = None
        if kind in _ACTS:
            check_may(ledger, statement.by, _ACTS[kind])
            signer = signer_of(ledger, statement.by, passphrase_file)
        settle(questions_of(statement))
        if signer is None:
            (event_id,) = record_alone(Snapshot(ledger), [statement], chain=chain)
        else:
            with ledger.writing() as writing:
                event_id = record_statement(writing, statement, chain=chain, signer=signer)
        click.echo(f"Recorded as {event_id}.")
        if kind in _ACTS:
            echo_signed(ledger, event_id)
        for line in recorded_lines(ledger, event_id, local):
            click.echo(paragraph(line.text, indent=line.indent, hang=line.hang))
    if kind != "withdraw":
        where = store_words() + ("" if chain == OFFICE else f" --chain {chain}")
        undo = f"weighbook record withdraw --target {event_id} --by {statement.by}{where}"
        click.echo(f"  A mistake? {undo} --reason …")
