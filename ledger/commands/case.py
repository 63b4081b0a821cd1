"""weighbook case list|show, and the group that the other commands about a case are in"""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path

import click

from ledger.commands.case_state import STATING
from ledger.commands.shared import format_option, moment_options, opened, show, store_option

TABLE = {
    "case_id": "Case",
    "about": "About",
    "reason": "Reason",
    "stands": "Stands",
}


class _Cases(click.Group):
    """Lists its commands in the order of a case's life."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(self.commands)


@click.group(cls=_Cases, short_help="Questions for review: open, refer, say, rule, …")
def case() -> None:
    """Questions for review, from the first word to the ruling.

    A case is a question; nobody is accused. Reviewers have it in the league's
    order, and decide; the ledger keeps what was said, by whom and when.
    """


@case.command("list", short_help="Every case: where it stands, and when it is due.")
@click.option("--open", "only_open", is_flag=True, help="Only those that are not closed.")
@store_option
@moment_options
@format_option
def case_list(
    only_open: bool, store: Path, as_of: str | None, known_at: str | None, form: str
) -> None:
    """Every case: what it asks, where it stands, and when the answer is due.

    Example: weighbook case list --open
    """
    from ledger.record.times import now_utc
    from ledger.review.cases import list_cases
    from ledger.say.cases import about, stands
    from ledger.store.league import league_zone

    with opened(store) as ledger:
        columns, rows = list_cases(ledger, as_of=as_of, known_at=known_at)
        zone = league_zone(ledger)
    if only_open:
        rows = [row for row in rows if row["state"] in ("open", "ruled")]
    if form == "table":
        now = as_of or known_at or now_utc()
        rows = [
            row | {"about": about(row) or None, "stands": stands(row, zone, now)} for row in rows
        ]
    show(columns, rows, form, table=TABLE, empty="No case.")


@case.command("show", short_help="A case: the question, the answers, what is due.")
@click.argument("case_id", metavar="CASE")
@store_option
@moment_options
@format_option
def case_show(
    case_id: str, store: Path, as_of: str | None, known_at: str | None, form: str
) -> None:
    """A case from the first word to the last: where it stands, what is due, who
    has had it and who was passed over, and what everybody said.

    Every statement has three times: when it happened, when it was written
    down, and when this ledger recorded it.

    Example: weighbook case show mixed-numbers
    """
    from ledger.review.cases import look_up_case
    from ledger.say.cases import case_text
    from ledger.store.league import league_zone

    with opened(store) as ledger:
        found = look_up_case(ledger, case_id, as_of=as_of, known_at=known_at)
        zone = league_zone(ledger)
    whole = asdict(found)
    if form == "json":
        click.echo(json.dumps(whole, ensure_ascii=False, indent=1))
    elif form == "csv":
        rows = [row | {"roles": list(row["roles"])} for row in whole["timeline"]]
        show(list(rows[0]), rows, form, table={}, empty="")
    else:
        click.echo(case_text(found, zone))


for _command in STATING:
    case.add_command(_command)
