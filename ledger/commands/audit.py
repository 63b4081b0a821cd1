"""weighbook audit"""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.shared import FILE, store_option, text_or_json_option
from ledger.errors import count_of
from ledger.say.lines import paragraph

if TYPE_CHECKING:
    from ledger.audit.report import AuditReport


@click.command(short_help="Check that nothing in the ledger was changed.")
@store_option
@click.option(
    "--since",
    type=FILE,
    multiple=True,
    metavar="FILE",
    help="Compare with a receipt, paper, bundle or proof that someone kept.",
)
@text_or_json_option
@click.pass_context
def audit(ctx: click.Context, store: Path, since: tuple[Path, ...], form: str) -> None:
    """Check the ledger from its stored bytes, in seven steps: hashes, links,
    trees, signatures, signed lists, personal text, and copies that others kept.
    The exit status is 1 if anything has changed since it was written.

    Example: weighbook audit --since receipt.txt
    """
    from ledger.audit.audit import audit_file
    from ledger.commands.progress import Bar

    with Bar("Checking") as bar:
        report = audit_file(store, since=since, on_start=bar.start, on_step=bar.step)
    if form == "json":
        click.echo(json.dumps(report.as_json(), indent=1))  # ASCII: the file may be hostile
    else:
        _show(report)
    ctx.exit(0 if report.ok else 1)


def _show(report: AuditReport) -> None:
    from ledger.say.words import printable

    for step in report.steps:
        click.echo(paragraph(f"({step.number}) {step.title}: {step.looked_at}", hang=4))
        for problem in step.problems:
            line = f"{problem.where}  {problem.problem}: {problem.detail}"
            click.echo(paragraph(printable(line), indent=4, hang=6))
        for note in step.notes:
            click.echo(paragraph(f"Note: {note}", indent=4, hang=6))
    for chain in report.chains:
        click.echo(
            f"Chain {chain.chain}: {count_of(chain.length, 'event')}, head {chain.head[:16]}…"
        )
    click.echo(f"Checked {report.events:,} of {report.stored:,} events.")
    click.echo(f"Verdict: {report.verdict}.")
    click.echo(paragraph(report.sentence))
