"""Options that several commands share, and printing answers."""

from __future__ import annotations

import json
import shlex
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from ledger.errors import InputError
from ledger.say.lines import Line, paragraph

if TYPE_CHECKING:
    from ledger.derive.answers import Asked
    from ledger.store.store import Store, Stored

Command = TypeVar("Command", bound=Callable[..., Any])
DEFAULT_STORE = "season.weighbook"
OFFICE = "office"

FILE = click.Path(path_type=Path, exists=True, dir_okay=False)
NEW_FILE = click.Path(path_type=Path, dir_okay=False)
NEW_FOLDER = click.Path(path_type=Path, file_okay=False)

root_store_option = click.option(
    "--store",
    type=NEW_FILE,
    envvar="WEIGHBOOK_STORE",
    default=DEFAULT_STORE,
    show_default=True,
    show_envvar=True,
    help="The ledger file.",
)


def _or_root_store(ctx: click.Context, option: click.Parameter, value: Path | None) -> Path:
    given: Path = ctx.find_root().params["store"]
    return value or given


def store_words() -> str:
    """ " --store PATH" to add to the next command; "" if that finds the ledger without it."""
    here = click.get_current_context()
    typed = [one.get_parameter_source("store") for one in (here, here.find_root())]
    if click.core.ParameterSource.COMMANDLINE not in typed:
        return ""
    return f" --store {shlex.quote(str(here.params['store']))}"


store_option = click.option(
    "--store",
    type=NEW_FILE,
    callback=_or_root_store,
    is_eager=True,  # --as-of reads the league's time zone from it
    help="The ledger file.",
)

chain_option = click.option(
    "--chain", default=OFFICE, show_default=True, help="The device or office that records."
)


def _format_option(*forms: str) -> Callable[[Command], Command]:
    return click.option(
        "--format",
        "form",
        type=click.Choice(forms),
        default=forms[0],
        show_default=True,
        help="How to show the answer.",
    )


format_option = _format_option("table", "json", "csv")
text_or_json_option = _format_option("text", "json")


def plain_word(text: str) -> str:
    """A fixed word as the ledger spells it: small letters, and _ for a space or a dash."""
    return text.strip().casefold().replace(" ", "_").replace("-", "_")


def store_of(ctx: click.Context) -> Path:
    """The ledger's path, also while the command's own --store has no value yet."""
    path: Path = ctx.params.get("store") or ctx.find_root().params["store"]
    return path


def utc_text(ctx: click.Context, option: click.Parameter, value: str | None) -> str | None:
    """Return a typed time as UTC text, and say in full what was not typed in full.

    Without an offset it is the league's local time; without a day, the game's day or today.
    """
    if value is None:
        return None
    from ledger.actions.typed import typed_moment
    from ledger.record.times import FULL
    from ledger.say.clock import exact_time
    from ledger.store.league import league_zone

    name = option.opts[0]
    with opened(store_of(ctx)) as ledger:
        zone = league_zone(ledger)
        try:
            moment = typed_moment(ledger, value, game=ctx.params.get("game"))
        except ValueError as error:
            raise InputError(f"{name}: found '{value}'", hint=f"Enter {error}.") from error
    if not FULL.fullmatch(value):
        to_stderr(f"{name}: {exact_time(moment, zone)}.")
    return moment


def moment_options(command: Command) -> Command:
    """--as-of and --known-at, as UTC text or None."""
    for name, text in (
        ("--known-at", "Use only what the ledger had recorded by then."),
        ("--as-of", "Use only what people had written down by then."),
    ):
        command = click.option(name, callback=utc_text, metavar="TIME", help=text)(command)
    return command


def answer_options(command: Command) -> Command:
    """--store, --as-of, --known-at and --format, for an answer that can be a table."""
    return store_option(moment_options(format_option(command)))


def to_stderr(line: str) -> None:
    """Print a note beside the results."""
    click.echo(line, err=True)


def say_moment(
    events: Iterable[Stored], zone: str, game: str | None, as_of: str | None, known_at: str | None
) -> None:
    """Say on standard error what the ledger recorded only after the moment of this answer."""
    from ledger.say.moments import as_of_note, known_at_note

    notes = [as_of_note(events, as_of, game, zone)] if as_of else []
    notes += [known_at_note(events, known_at, game, zone)] if known_at else []
    for note in filter(None, notes):
        to_stderr(paragraph(note))


def say_moment_of(asked: Asked) -> None:
    """Say the same about an answer."""
    say_moment(asked.events, asked.zone, asked.game, asked.as_of, asked.known_at)


@contextmanager
def opened(store: Path) -> Iterator[Store]:
    """Open the ledger at this path, and close it at the end."""
    from ledger.store.opening import open_store

    ledger = open_store(store, tell=to_stderr)
    try:
        yield ledger
    finally:
        ledger.close()


def show(
    columns: Iterable[str],
    rows: Sequence[dict[str, Any]],
    form: str,
    *,
    table: Mapping[str, str],
    empty: str,
    zone: str = "",
    names: Callable[[str], str] | None = None,
) -> None:
    """Print rows as a table, JSON or CSV. `table` maps the table's columns to headings.

    CSV needs the `zone` of its local times. `names` adds a column with children's names behind
    their ids, except in JSON.
    """
    if form == "json":
        show_json(rows)
        return
    if names is not None:
        rows = [row | {"name": names(row["player"]) if row["player"] else None} for row in rows]
        columns, table = _named(dict.fromkeys(columns, "")), _named(table)
    if form == "csv":
        from ledger.commands.csv_shown import show_csv

        show_csv(tuple(columns), rows, table, zone)
    elif not rows:
        click.echo(empty)
    else:
        click.echo(table_text([[_word(row[key]) for key in table] for row in rows], table.values()))


def _named(headings: Mapping[str, str]) -> dict[str, str]:
    """These headings with one for the name behind the player's."""
    named: dict[str, str] = {}
    for key, heading in headings.items():
        named[key] = heading
        if key == "player":
            named["name"] = "Name"
    return named


def table_text(rows: Sequence[Sequence[str]], headings: Iterable[str]) -> str:
    """Set rows under headings, in plain text columns."""
    from tabulate import tabulate

    return tabulate(rows, headers=list(headings), tablefmt="simple", disable_numparse=True)


def show_json(content: object) -> None:
    """Print content as indented JSON."""
    click.echo(json.dumps(content, ensure_ascii=False, indent=1))


def show_lines(lines: Iterable[Line]) -> None:
    """Print paragraphs, each with its own indents."""
    for line in lines:
        click.echo(paragraph(line.text, indent=line.indent, hang=line.hang))


def show_lines_to_copy(lines: Iterable[Line]) -> None:
    """Print paragraphs; a command stays on one line, to be copied."""
    for line in lines:
        is_command = line.text.startswith("weighbook ")
        text = " " * line.indent + line.text
        click.echo(text if is_command else paragraph(line.text, indent=line.indent, hang=line.hang))


def _word(value: Any) -> str:
    return ", ".join(value) if isinstance(value, list) else "–" if value is None else str(value)
