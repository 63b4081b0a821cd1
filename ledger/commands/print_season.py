"""weighbook print season-summary"""

from __future__ import annotations

from pathlib import Path

import click

from ledger.commands.print_shared import to_option, write
from ledger.commands.shared import moment_options, opened, store_option


@click.command("season-summary", short_help="How the procedure went; names no child.")
@to_option
@store_option
@moment_options
def season_summary(to: Path, store: Path, as_of: str | None, known_at: str | None) -> None:
    """How the season's weigh-ins went, for the league, each association and
    each team. No child is named, and small numbers of children are hidden.

    Example: weighbook print season-summary --to summary.pdf
    """
    from ledger.papers.sheets.season import season_sheet

    with opened(store) as ledger:
        sheet = season_sheet(ledger, as_of=as_of, known_at=known_at)
    write(sheet, to)
