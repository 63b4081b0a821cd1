"""weighbook record KIND: one entry, with options made from the kind's model."""

from __future__ import annotations

import inspect
import re
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.asking import (
    answered,
    asked_names,
    despite_option,
    echo_signed,
    names_option,
    note_is_fine_option,
)
from ledger.commands.choices import LONGEST, Words, words_of
from ledger.commands.passphrase import by_passphrase_option
from ledger.commands.shared import (
    OFFICE,
    chain_option,
    opened,
    show_lines,
    store_option,
    store_words,
)
from ledger.commands.taking_back import coming_along
from ledger.commands.typed import TYPES, with_typed

if TYPE_CHECKING:
    from ledger.record.statements import Statement

_HELP = {
    "at": "When it happened (default: now).",
    "entered": "When it was written down (default: now).",
    "game": "The game's id.",
    "team": "The team's id.",
    "player": "The player's id.",
    "number": "The player's number.",
    "name": "With the number: the name of a player who is not on the roster.",
    "by": "The official who reports it: id, or part of the name.",
    "value": "What was found.",
    "reason": "Why, in your own words. Kept outside the chain; it can be erased.",
    "half": "The half; 3 is overtime.",
    "count": "How many so far in this half.",
    "reading": "What the scale showed under the check weight, in lb.",
    "limit": "What the scale is set to, in lb.",
    "initials": "The weighmaster's initials, at most 6 characters.",
    "case": "The case's id.",
    "to": "The role.",
    "may_play": "How much this player may play in this game.",
    "may_carry": "Whether this player may carry the ball in this game.",
    "kickoff": "The new kickoff. A time without a day is of the game's day.",
    "site": "The new site.",
    "ref": "A label that a later entry can point to.",
    "target": "The ref or event id of the mistaken entry.",
    "note": "A remark. Kept outside the chain; it can be erased.",
}
_HELP_OF_KIND = {
    ("number_change", "number"): "The new number.",
    ("enter_player", "player"): "A new id. Leave the child's name out of it.",
    ("enter_player", "name"): "The child's name. Kept outside the chain; it can be erased.",
    ("trained", "value"): "The official who was trained: id, or part of the name.",
    ("assign", "team"): "The team the official stands there for.",
    ("assign", "value"): "The official at the scale: id, or part of the name.",
    ("appoint", "value"): "The official's id, new or known.",
    ("appoint", "name"): "The name of a new official.",
    ("appoint", "game"): "The game the role is for (default: the whole season).",
    ("half", "half"): "The half that ended.",
    ("case_exhibit", "value"): "The file's SHA-256.",
    ("ruling", "value"): "The answer.",
}
_HELP_OF_WORDS = {"reason": "Why.", "half": "The half."}
ASKS_WHAT_IS_OPEN = ("close", "season_close")
_COLUMN = re.compile(r"`(\w+)`")
_METAVARS = {"at": "TIME", "entered": "TIME", "kickoff": "TIME", "reading": "LB", "limit": "LB"}


class _Kinds(click.Group):
    """A subcommand for every kind of entry."""

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
        from ledger.suggest import did_you_mean

        if self.get_command(ctx, args[0]) is None and (found := did_you_mean(args[0], KINDS)):
            ctx.fail(f"No such command '{args[0]}'. {found}")
        return super().resolve_command(ctx, args)


@click.group(cls=_Kinds, short_help="Record one entry: a weigh, a mark, a listing, …")
def record() -> None:
    """Record one entry, as of now. Entries never change: to undo a mistake, record
    a withdrawal. Both entries stay.

    Example: weighbook record weigh --game acorn-1a --team newts --number 12
    --by marmots-wm3 --value ok
    """


def _command(model: type[Statement]) -> click.Command:
    from ledger.actions.entries import ACTS
    from ledger.record.fields import COLUMNS

    columns = list(COLUMNS)
    needed = [name for name, field in model.model_fields.items() if field.is_required()]
    names = sorted(model.model_fields, key=lambda name: (name not in needed, columns.index(name)))
    options: list[click.Parameter] = [_option(model, name, name in needed) for name in names]
    text = _COLUMN.sub(r"--\1", inspect.getdoc(model) or "")
    run = partial(_record, model.kind)
    command = click.Command(model.kind, params=options, callback=run, help=text, short_help=text)
    if model.kind in ACTS:
        command = by_passphrase_option(command)
    if model.kind in ASKS_WHAT_IS_OPEN:
        command = despite_option(command)
    return chain_option(store_option(names_option(note_is_fine_option(command))))


def _option(model: type[Statement], name: str, needed: bool) -> click.Option:
    required = needed and name not in ("at", "entered")
    said = _HELP_OF_KIND.get((model.kind, name)) or _HELP[name]
    words = words_of(model.kind, name)
    if words:
        said = _HELP_OF_WORDS.get(name, said)
    is_long = len("|".join(words)) + 2 > LONGEST
    return click.Option(
        [f"--{name.replace('_', '-')}", name],
        required=required,
        type=Words(model.kind, name) if words else TYPES.get(name, str),
        help=f"{said} One of: {', '.join(words)}." if is_long else said,
        metavar=None if words and not is_long else _METAVARS.get(name, "TEXT"),
    )


def _record(
    kind: str, store: Path, chain: str, passphrase_file: Path | None = None, **cells: str | None
) -> None:
    from ledger.actions.entries import record as record_entries
    from ledger.say.recorded import recorded_lines
    from ledger.store.league import league_zone

    with opened(store) as ledger:
        entry = with_typed(ledger, kind, cells) | {"kind": kind}
        by = entry["by"] or ""
        names = asked_names(ledger)
        along = coming_along(ledger, entry) if kind == "withdraw" else []
        act = partial(record_entries, ledger, [entry, *along])
        go_on = "Close it all the same?"
        done = answered(act, chain, passphrase_file, names=names, go_on=go_on)
        event_id, *more = done.event_ids
        click.echo(f"Recorded as {' and '.join(done.event_ids)}.")
        if done.act:
            echo_signed(done.act)
        for one in (event_id, *more):
            show_lines(recorded_lines(ledger, one, league_zone(ledger), names))
    if kind != "withdraw":
        where = store_words() + ("" if chain == OFFICE else f" --chain {chain}")
        undo = f"weighbook record withdraw --target {event_id} --by {by}{where}"
        click.echo(f"  A mistake? {undo} --reason …")
