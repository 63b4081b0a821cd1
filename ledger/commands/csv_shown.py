"""--format csv: an answer for a person with a spreadsheet program.

The headings are those on screen. A time has two columns, local and UTC: one hour in fall comes
twice on the local clock. Programs read --format json.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

import click

HEADINGS = {
    "number": "No.",
    "case_id": "Case",
    "event_id": "Entry",
    "events": "Entries",
    "at": "When",
    "detail": "What was found",
    "with_role": "With",
    "was_at": "Kickoff before",
    "was_site": "Site before",
}
"""Headings of columns that no table on screen has; the others are their names in words."""
_TIMES = ("at", "kickoff", "trained_until")


def show_csv(
    columns: Sequence[str],
    rows: Sequence[Mapping[str, Any]],
    table: Mapping[str, str],
    zone: str,
) -> None:
    """Print the rows; `table` are the headings on screen."""
    from ledger.derive.spreadsheet import format_csv

    ordered = [column for column in columns if column != "number" or "player" not in columns]
    if len(ordered) < len(columns):  # as on screen, the number before the id
        ordered.insert(ordered.index("player"), "number")
    shown = [pair for column in ordered for pair in _columns(column, table, zone)]
    cells = ([read(row) for _, read in shown] for row in rows)
    click.echo(format_csv([heading for heading, _ in shown], cells), nl=False)


Read = Callable[[Mapping[str, Any]], Any]


def _columns(column: str, table: Mapping[str, str], zone: str) -> Iterator[tuple[str, Read]]:
    """Each column that the answer's column becomes: its heading, and how a row fills it."""
    heading = _heading(column, table)
    if column in _TIMES or column.endswith("_at"):
        yield f"{heading} (local)", lambda row: _local(row[column], zone)
        yield f"{heading} (UTC)", lambda row: row[column]
        return
    yield heading, lambda row: row[column]


def _heading(column: str, table: Mapping[str, str]) -> str:
    plain = column.removesuffix("_at").replace("_", " ")
    said = table.get(column) or HEADINGS.get(column) or f"{plain[:1].upper()}{plain[1:]}"
    return " ".join(said.split())


def _local(utc: str | None, zone: str) -> str | None:
    """ "2026-09-05 08:41:30", which spreadsheet programs take for a time."""
    from ledger.record.times import moment_of
    from ledger.record.times import zone as zone_of

    return utc and moment_of(utc).astimezone(zone_of(zone)).strftime("%Y-%m-%d %H:%M:%S")
