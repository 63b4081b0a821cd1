"""weighbook audit"""

from __future__ import annotations

import json
from pathlib import Path

import click

from ledger.commands.shared import store_option, table_or_json_option
from ledger.commands.texts import paragraph


@click.command(short_help="Check that nothing in the ledger was changed.")
@store_option
@click.option(
    "--since",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    multiple=True,
    metavar="FILE",
    help="Compare with a receipt, paper, bundle or proof somebody kept.",
)
@table_or_json_option
@click.pass_context
def audit(ctx: click.Context, store: Path, since: tuple[Path, ...], form: str) -> None:
    """Check the ledger from its stored bytes: every event and link, the tree,
    every signature with the key in force, every signed list, every personal text.
    Exit status 1 when anything is not as it was written.

    Example: weighbook audit --since receipt.txt
    """
    from ledger.audit.audit import audit_file
    from ledger.commands.progress import Bar

    with Bar("Checking") as bar:
        report = audit_file(store, since=since, on_start=bar.start, on_step=bar.step)
    if form == "json":
        click.echo(json.dumps(report.as_json(), indent=1))
    else:
        for problem in report.problems:
            where = f"{problem.chain}:{problem.seq}" if problem.seq else problem.chain
            click.echo(paragraph(f"{where}  {problem.problem}: {problem.detail}", hang=4))
        for chain in report.chains:
            click.echo(f"Chain {chain.chain}: {chain.length:,} events, head {chain.head[:16]}…")
        for note in report.notes:
            click.echo(paragraph(f"Note: {note}", hang=6))
        click.echo(f"Checked {report.events:,} of {report.stored:,} events.")
        click.echo(f"Checked {report.signatures} signatures and {report.outside} kept files.")
        click.echo(paragraph(report.sentence))
    ctx.exit(0 if report.ok else 1)
