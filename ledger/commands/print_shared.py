"""What every paper's command has: where the PDF goes, and writing it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from ledger.papers.desk import Sheet

to_option = click.option(
    "--to",
    required=True,
    type=click.Path(path_type=Path, dir_okay=False),
    help="The PDF file to write.",
)


def write(sheet: Sheet, to: Path) -> None:
    """Make the paper and say where it is."""
    from ledger.papers.render import render_sheet

    render_sheet(sheet, to)
    click.echo(f"Wrote {to}.")
