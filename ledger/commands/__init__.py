"""The command `weighbook`: a file for each command, without logic of its own.

Exit status: 0 fine; 1 a check found a problem; 2 wrong input; 3 the ledger file cannot be used.
"""

from __future__ import annotations

import signal
import sys
from importlib import import_module
from pathlib import Path

import click

from ledger.commands.shared import root_store_option
from ledger.errors import LedgerError
from ledger.store import waiting, written

COMMANDS = {
    "begin": "begin",
    "load": "load",
    "ready": "ready",
    "status": "status",
    "eligibility": "eligibility",
    "why": "why",
    "book": "book",
    "exposure": "exposure",
    "forecast": "forecast",
    "findings": "findings",
    "changes": "changes",
    "monday": "monday",
    "case": "case",
    "rules": "rules",
    "find": "find",
    "people": "people",
    "record": "record",
    "sheet": "paper",
    "enter": "paper",
    "enroll": "enroll",
    "revoke": "enroll",
    "sign": "sign",
    "print": "print_",
    "serve": "serve",
    "audit": "audit",
    "prove": "prove",
    "check": "check",
    "evidence": "evidence",
    "export": "export",
    "erase": "erase",
    "redact": "erase",
    "retention": "erase",
    "help": "help_",
}
"""The module of each command, in the order of a season."""


class _Late(click.Group):
    """Import a command's module when the command is named, and all of them for the help."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name in COMMANDS and cmd_name not in self.commands:
            module = import_module(f"ledger.commands.{COMMANDS[cmd_name]}")
            name = f"{cmd_name}_" if cmd_name in ("print", "help") else cmd_name  # Python's own
            self.add_command(getattr(module, name), cmd_name)
        return super().get_command(ctx, cmd_name)


@click.group(
    cls=_Late,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
    epilog="Start with: weighbook begin practice --practice",
)
@click.version_option(package_name="weighbook", prog_name="weighbook")
@root_store_option
def weighbook(store: Path) -> None:
    """The season's weigh-in book: who may play, who may carry, and how we know.

    A ledger is one file. Name it with --store, or set WEIGHBOOK_STORE once.
    People decide; this tool disqualifies nobody.
    """


def main() -> None:
    """Run the command line. Turn errors into a message, a hint and an exit status."""
    _take_ending_for_stopping()
    written.WRITTEN.clear()
    waiting.tell_waiting(_say_waiting)
    try:
        # Outside standalone mode `main` returns the command's exit status (None: fine).
        sys.exit(weighbook.main(prog_name="weighbook", standalone_mode=False))
    except click.ClickException as error:
        error.show()
        sys.exit(error.exit_code)
    except click.Abort:
        kept = written.in_words()
        nothing = "Nothing was recorded, and no file is half-written"
        what = f"Already recorded, and kept: {kept}" if kept else nothing
        click.echo(f"Stopped. {what}.", err=True)
        sys.exit(130)
    except LedgerError as error:
        click.echo(error.message, err=True)
        if error.hint:
            click.echo(error.hint, err=True)
        sys.exit(error.exit_status)


def _say_waiting() -> None:
    click.echo("Waiting for another program that is using the ledger…", err=True)


def _take_ending_for_stopping() -> None:
    """Let SIGTERM and SIGHUP (the window closes) undo unfinished work, as Ctrl-C does.

    Otherwise half a folder of papers with children's names would stay behind.
    """
    for name in ("SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)  # Windows has no SIGHUP
        if number and signal.getsignal(number) is signal.SIG_DFL:  # nohup ignores it
            signal.signal(number, signal.default_int_handler)
