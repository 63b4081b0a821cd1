"""weighbook print season-summary"""

from __future__ import annotations

from pathlib import Path

import click

from ledger.commands.print_shared import to_option, write
from ledger.commands.shared import moment_options, opened, store_option, wrong


@click.command("season-summary", short_help="A season in counts, for a president; names nobody.")
@to_option
@click.option("--association", metavar="A", help="Of this association and its teams only.")
@click.option("--team", metavar="T", help="Of this team only.")
@store_option
@moment_options
def season_summary(
    to: Path,
    association: str | None,
    team: str | None,
    store: Path,
    as_of: str | None,
    known_at: str | None,
) -> None:
    """The season in counts, for the league, each association and each team:
    what was done, what is missing, and what to look at next season.

    No child is named. Counts of children from 1 to 4 are not shown, nor what
    would give them away; teams are not ranked. The numbers are attached.

    Example: weighbook print season-summary --to season.pdf
    """
    if association is not None and team is not None:
        raise wrong("--association and --team were both given", "Give one of them, or neither.")
    from ledger.papers.season_summary import summary_sheet

    with opened(store) as ledger:
        sheet = summary_sheet(
            ledger, association=association, team=team, as_of=as_of, known_at=known_at
        )
    write(sheet, to)
