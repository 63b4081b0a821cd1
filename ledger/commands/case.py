"""weighbook case list|show, and the group for all commands about cases"""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from ledger.commands.case_state import STATING
from ledger.commands.shared import answer_options, opened, show, show_json

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
    """Questions for review, from opening to ruling.

    A case is a question; it accuses nobody. It goes to the reviewers in the
    league's order, and they decide. The ledger keeps who said what, and when.
    """


@case.command("list", short_help="List cases: where each stands, and when it is due.")
@click.option("--open", "only_open", is_flag=True, help="Only cases that are not closed.")
@answer_options
def case_list(only_open: bool, store: Path, form: str, **moments: str | None) -> None:
    """List cases: what each asks, where it stands, and when the answer is due.

    Example: weighbook case list --open
    """
    from ledger.record.times import now_utc
    from ledger.review.cases import list_cases
    from ledger.say.cases import about, stands
    from ledger.store.league import league_zone

    with opened(store) as ledger:
        columns, rows = list_cases(ledger, **moments)
        zone = league_zone(ledger)
    if only_open:
        rows = [row for row in rows if row["state"] in ("open", "ruled")]
    if form == "table":
        now = moments["as_of"] or moments["known_at"] or now_utc()
        rows = [
            row | {"about": about(row) or None, "stands": stands(row, zone, now)} for row in rows
        ]
    show(columns, rows, form, table=TABLE, empty="No cases.", zone=zone)


@case.command("show", short_help="Show a case: the question, the answers, what is due.")
@click.argument("case_id", metavar="CASE")
@answer_options
def case_show(case_id: str, store: Path, form: str, **moments: str | None) -> None:
    """Show a case from start to finish: where it stands, what is due, who has had
    it, who was skipped, and what everyone said.

    Each entry has three times: when it happened, when it was written down, and
    when this ledger recorded it.

    Example: weighbook case show mixed-numbers
    """
    from ledger.review.cases import look_up_case
    from ledger.say.cases import case_text
    from ledger.store.league import league_zone

    with opened(store) as ledger:
        found = look_up_case(ledger, case_id, as_of=moments["as_of"], known_at=moments["known_at"])
        zone = league_zone(ledger)
    whole = asdict(found)
    if form == "json":
        show_json(whole)
    elif form == "csv":
        rows = [row | {"roles": list(row["roles"])} for row in whole["timeline"]]
        show(list(rows[0]), rows, form, table={}, empty="", zone=zone)
    else:
        click.echo(case_text(found, zone))


for _command in STATING:
    case.add_command(_command)
