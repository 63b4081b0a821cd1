"""The command `weighbook`: one file a command, no logic of its own.

Exit status: 0 fine; 1 an audit found a problem; 2 something given to us is wrong; 3 the ledger's
file cannot be used.
"""

from __future__ import annotations

import signal
import sys
from pathlib import Path

import click

from ledger.commands.audit import audit
from ledger.commands.book import book
from ledger.commands.case import case
from ledger.commands.changes import changes
from ledger.commands.check import check
from ledger.commands.eligibility import eligibility
from ledger.commands.enroll import enroll, revoke
from ledger.commands.erase import erase, redact, retention
from ledger.commands.evidence import evidence
from ledger.commands.export import export
from ledger.commands.exposure import exposure
from ledger.commands.findings import findings
from ledger.commands.forecast import forecast
from ledger.commands.load import load
from ledger.commands.print_ import print_
from ledger.commands.prove import prove
from ledger.commands.record import record
from ledger.commands.rules import rules
from ledger.commands.shared import root_store_option
from ledger.commands.sign import sign
from ledger.commands.status import status
from ledger.commands.why import why
from ledger.errors import LedgerError
from ledger.store import waiting, written

COMMANDS = (
    load,
    status,
    eligibility,
    why,
    book,
    exposure,
    forecast,
    findings,
    changes,
    case,
    rules,
    record,
    enroll,
    revoke,
    sign,
    print_,
    audit,
    prove,
    check,
    evidence,
    export,
    erase,
    redact,
    retention,
)


class _Ordered(click.Group):
    """Lists commands in the order of a season, not of the alphabet."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(self.commands)


@click.group(
    cls=_Ordered,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
    epilog="Begin with: weighbook load sample_season",
)
@click.version_option(package_name="weighbook", prog_name="weighbook")
@root_store_option
def weighbook(store: Path) -> None:
    """The season's weigh-in book: who may play, who may carry, and how we know.

    A ledger is one file. Name it with --store, or once in the environment as
    WEIGHBOOK_STORE. People decide; this tool disqualifies nobody.
    """


for _command in COMMANDS:
    weighbook.add_command(_command)


def main() -> None:
    """Run the command line; our errors become one message, a hint and an exit status."""
    _take_ending_for_stopping()
    written.WRITTEN.clear()
    waiting.tell_waiting(_say_waiting)
    try:
        # Outside standalone mode a command's exit status is what `main` returns (None: fine).
        sys.exit(weighbook.main(prog_name="weighbook", standalone_mode=False))
    except click.ClickException as error:
        error.show()
        sys.exit(error.exit_code)
    except click.Abort:
        if stays := written.in_words():
            click.echo(f"Stopped; what was recorded before that stays: {stays}.", err=True)
        else:
            click.echo("Stopped; nothing was recorded, and no file is half-written.", err=True)
        sys.exit(130)
    except LedgerError as error:
        click.echo(error.message, err=True)
        if error.hint:
            click.echo(error.hint, err=True)
        sys.exit(error.exit_status)


def _say_waiting() -> None:
    click.echo("Waiting for another program that is using the ledger…", err=True)


def _take_ending_for_stopping() -> None:
    """Asked to end (SIGTERM; SIGHUP when its window closes), the program undoes what it had begun,
    as after Ctrl-C: half a folder of papers would lie there with children's names.
    """
    for name in ("SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)  # Windows has no SIGHUP
        if number and signal.getsignal(number) is signal.SIG_DFL:  # nohup ignores it
            signal.signal(number, signal.default_int_handler)
