"""weighbook print DOCUMENT: the group, with a command for each row of the table of papers."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ledger.commands.asking import asked_names, names_option, say_open
from ledger.commands.print_all import all_
from ledger.commands.print_shared import to_option, write
from ledger.commands.shared import moment_options, opened, store_option
from ledger.commands.typed import TYPES
from ledger.papers.sheets.documents import DOCUMENTS, Document

if TYPE_CHECKING:
    from ledger.papers.press.sheet import Sheet
    from ledger.store.store import Store


@click.group("print", short_help="Make a PDF: a list, an empty form, a packet, …")
def print_() -> None:
    """Make a paper as a PDF. Papers show children's names: keep them as the
    league's rule says, and give them to nobody else.

    --sign-with also signs the PDF with the league's certificate (PAdES). This
    shows that the file comes from the certificate's holder and has not changed
    since. It does not show that an entry is true, and the ledger's own proof does
    not need it. You cannot see it on the page, and printing loses it.

    Example: weighbook print list acorn-1a newts --to list.pdf
    """


def _command(document: Document) -> click.Command:
    def run(to: Path, store: Path, **given: str | None) -> None:
        from ledger.papers.press.heads import Heads

        arguments = {name: text for name, text in given.items() if text is not None}
        with opened(store) as ledger:
            sheet = document.make(Heads(ledger), arguments)
            notes = _which_game(ledger, sheet, arguments) if "game" in document.options else []
            if document.command == "list":
                _ask_first(ledger, arguments)
        write(sheet, to)
        for note, is_aside in notes:
            click.echo(note, err=is_aside)

    parts: list[Callable[..., Any]] = [
        *(_argument(name, required=True) for name in document.needs),
        *(_argument(name, required=False) for name in document.may),
        *(
            click.option(f"--{name}", help=words, type=TYPES.get(name))
            for name, words in document.options.items()
        ),
        to_option,
        store_option,
        *([moment_options] if document.has_moments else []),
        *([names_option] if document.command == "list" else []),
    ]
    for part in reversed(parts):
        run = part(run)
    return click.command(document.command, short_help=document.label, help=document.help)(run)


def _ask_first(ledger: Store, arguments: dict[str, str]) -> None:
    """Say what to settle about a list, and at a terminal ask whether to print it all the same.

    A script prints: the paper says the same, and nobody has signed it yet.
    """
    from ledger.derive.engine import Engine
    from ledger.derive.scope import read_game
    from ledger.derive.settling import read_settling
    from ledger.say.settling import heading, settle_lines
    from ledger.store.league import league_data

    moments = {key: arguments.get(key) for key in ("as_of", "known_at")}
    engine = Engine(read_game(ledger, arguments["game"], **moments), **moments)
    settling = read_settling(engine, arguments["game"], arguments["team"])
    engine.close()
    if not settling.items:
        return
    league, names = league_data(ledger), asked_names(ledger)
    say_open(heading(settling), settle_lines(settling, league, str(league["time_zone"]), names))
    if settling.codes and sys.stdin.isatty():
        click.confirm("Print it all the same?", default=False, abort=True, err=True)


def _argument(name: str, *, required: bool) -> Callable[[Any], Any]:
    return click.argument(name, required=required, type=TYPES.get(name), is_eager=name == "game")


def _which_game(ledger: Store, sheet: Sheet, arguments: dict[str, str]) -> list[tuple[str, bool]]:
    """Say which game a form is for; each line with whether it is an aside."""
    from ledger.derive.scope import is_weighed

    head = sheet.context["paper"].head
    notes = [(f"Form for {head.game}: {head.visitor} at {head.home}, {head.kickoff}.", False)]
    if "game" not in arguments and is_weighed(ledger, head.game):
        left = f"{arguments['team']} has no later game"
        notes.append((f"{head.game} is already weighed, and {left}.", True))
    if head.is_off:
        notes.append((f"{head.game} is called off.", True))
    return notes


PAPERS = (*map(_command, DOCUMENTS), all_)
for _paper in PAPERS:
    print_.add_command(_paper)
