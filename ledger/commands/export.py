"""weighbook export --to FOLDER"""

from __future__ import annotations

from pathlib import Path

import click

from ledger.commands.shared import NEW_FOLDER, moment_options, opened, store_option


@click.command(short_help="The season's tables as files, with a data dictionary.")
@click.option(
    "--to", required=True, type=NEW_FOLDER, help="A new folder, or one of an earlier export."
)
@click.option("--parquet", is_flag=True, help="Write each table as Parquet too.")
@store_option
@moment_options
def export(to: Path, parquet: bool, store: Path, **moments: str | None) -> None:
    """Write the season's tables as CSV: games, who may play and carry, plays,
    findings, the book, lists, signatures, cases. dictionary.txt says what each
    column means. The tables contain no names: players and officials are ids.

    Example: weighbook export --to season-tables --parquet
    """
    from ledger.derive.export import export_season

    with opened(store) as ledger:
        tables = export_season(ledger, to, parquet=parquet, **moments)
    for table in tables:
        click.echo(f"{table.name:<18}{table.rows:>7,} rows")
    kinds = "CSV and Parquet" if parquet else "CSV"
    click.echo(f"Wrote {len(tables)} tables as {kinds}, and dictionary.txt, to {to}.")
