"""Options that several commands have, and how answers are shown."""

from __future__ import annotations

import json
import shlex
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from ledger.errors import InputError

if TYPE_CHECKING:
    from ledger.store.store import Store

Command = TypeVar("Command", bound=Callable[..., Any])
DEFAULT_STORE = "season.weighbook"
OFFICE = "office"

_STORE_PATH = click.Path(path_type=Path, dir_okay=False)

root_store_option = click.option(
    "--store",
    type=_STORE_PATH,
    envvar="WEIGHBOOK_STORE",
    default=DEFAULT_STORE,
    show_default=True,
    show_envvar=True,
    help="The ledger's file.",
)


def _or_root_store(ctx: click.Context, option: click.Parameter, value: Path | None) -> Path:
    given: Path = ctx.find_root().params["store"]
    return value or given


def store_words() -> str:
    """ " --store PATH" for a command to be typed next; "" where the ledger is found without it."""
    here = click.get_current_context()
    typed = [one.get_parameter_source("store") for one in (here, here.find_root())]
    if click.core.ParameterSource.COMMANDLINE not in typed:
        return ""
    return f" --store {shlex.quote(str(here.params['store']))}"


store_option = click.option(
    "--store",
    type=_STORE_PATH,
    callback=_or_root_store,
    is_eager=True,  # --as-of reads the league's time zone from it
    help="The ledger's file, if not named before.",
)

chain_option = click.option(
    "--chain", default=OFFICE, show_default=True, help="Who writes: a device or an office."
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


def utc_text(ctx: click.Context, option: click.Parameter, value: str | None) -> str | None:
    """UTC text of a time that was typed; without an offset it is the league's local time."""
    if value is None:
        return None
    from ledger.record.times import parse_time, zone
    from ledger.store.league import league_zone

    with opened(ctx.params["store"]) as ledger:
        name = league_zone(ledger)
    try:
        return parse_time(value, zone(name))
    except ValueError as error:
        raise wrong(f"{option.opts[0]}: found '{value}'", f"Needed: {error}.") from error


def moment_options(command: Command) -> Command:
    """--as-of and --known-at, as UTC text or None."""
    command = click.option(
        "--known-at",
        callback=utc_text,
        metavar="TIME",
        help="Only what the ledger had recorded by then.",
    )(command)
    return click.option(
        "--as-of",
        callback=utc_text,
        metavar="TIME",
        help="Only what had been entered by then.",
    )(command)


def to_stderr(line: str) -> None:
    """A note beside the results."""
    click.echo(line, err=True)


@contextmanager
def opened(store: Path) -> Iterator[Store]:
    """The ledger at that path, closed at the end."""
    from ledger.store.opening import open_store

    ledger = open_store(store, tell=to_stderr)
    try:
        yield ledger
    finally:
        ledger.close()


def show(
    columns: Sequence[str],
    rows: Sequence[Mapping[str, Any]],
    form: str,
    *,
    table: Mapping[str, str],
    empty: str,
) -> None:
    """Print rows as a table, JSON or CSV. `table` gives a table's columns and their headings."""
    if form == "json":
        click.echo(json.dumps(rows, ensure_ascii=False, indent=1))
    elif form == "csv":
        from ledger.derive.spreadsheet import format_csv

        click.echo(format_csv(columns, ([row[key] for key in columns] for row in rows)), nl=False)
    elif not rows:
        click.echo(empty)
    else:
        click.echo(table_text([[_word(row[key]) for key in table] for row in rows], table.values()))


def table_text(rows: Sequence[Sequence[str]], headings: Iterable[str]) -> str:
    """Rows under headings, in plain text columns."""
    from tabulate import tabulate

    return tabulate(rows, headers=list(headings), tablefmt="simple", disable_numparse=True)


def wrong(found: str, right: str) -> InputError:
    """An error about an option's value."""
    return InputError(found, hint=right)


def _word(value: Any) -> str:
    return ", ".join(value) if isinstance(value, list) else "–" if value is None else str(value)
