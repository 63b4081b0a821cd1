"""weighbook people [OFFICIAL]"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ledger.commands.shared import (
    answer_options,
    opened,
    say_moment_of,
    show,
    show_json,
    table_text,
)
from ledger.commands.typed import OFFICIAL, ROLE, TEAM

if TYPE_CHECKING:
    from ledger.actions.people import Person

COLUMNS = ("official", "roles", "trained_at", "trained_until", "has_key", "key_games", "assigned",
           "worked", "key_held")  # fmt: skip
TABLE = {
    "official": "Official",
    "name": "Name",
    "roles": "Roles",
    "trained": "Trained until",
    "key": "Key",
    "next": "Weighs next",
}
WORK = ("Game", "Kickoff", "Assigned for", "At scale", "Weighed", "Initialed", "Listed", "Signed")


@click.command(short_help="Officials: roles, training, keys, who weighs where.")
@click.argument("official", required=False, type=OFFICIAL)
@click.option("--role", type=ROLE, help="Only people with this role, such as weighmaster.")
@click.option("--team", type=TEAM, help="Only people with a role for this team.")
@click.option("--names", is_flag=True, help="Show officials' names.")
@answer_options
def people(
    official: str | None,
    role: str | None,
    team: str | None,
    names: bool,
    store: Path,
    form: str,
    **moments: str | None,
) -> None:
    """List officials: their roles, until when their training counts, their keys,
    and the coming games they are assigned to weigh.

    With OFFICIAL, show one person and what they did this season. To enter
    training and assignments: weighbook record trained, weighbook record assign.

    Examples: weighbook people --role weighmaster; weighbook people newts-wm2
    """
    from ledger.actions.people import people as find
    from ledger.record.times import now_utc

    with opened(store) as ledger:
        found, asked = find(ledger, official=official, role=role, team=team, **moments)
    now = moments["as_of"] or moments["known_at"] or now_utc()
    columns = (*COLUMNS[:1], *["name"] * names, *COLUMNS[1:])
    if form == "table" and official and found:
        _one(found[0], names=names, now=now, zone=asked.zone)
    elif form == "table":
        table = {key: head for key, head in TABLE.items() if names or key != "name"}
        rows = [_shown(person, now, asked.zone) for person in found]
        show(columns, rows, form, table=table, empty="Nobody.", zone=asked.zone)
    else:
        rows = [_row(person) for person in found]
        if form == "csv":
            rows = [row | {"roles": "; ".join(row["roles"])} for row in rows]
            show(columns, rows, form, table=TABLE, empty="", zone=asked.zone)
        else:
            show_json([{key: row[key] for key in columns} for row in rows])
    if form == "table":
        say_moment_of(asked)


def _row(person: Person) -> dict[str, Any]:
    """The person for a program."""
    from ledger.say.codes import role_held

    return {
        "official": person.official,
        "name": person.name,
        "roles": [role_held(one.role, one.team, one.game) for one in person.roles],
        "trained_at": person.trained_at,
        "trained_until": person.trained_until,
        "has_key": person.has_key,
        "key_games": list(person.key_games),
        "assigned": [one.game for one in person.work if one.assigned],
        "worked": list(person.worked),
        "key_held": person.key_held,
    }


def _shown(person: Person, now: str, zone: str) -> dict[str, Any]:
    """The person for a table."""
    from ledger.say import people as say

    return _row(person) | {
        "trained": say.trained_until(person.trained_at, person.trained_until, now, zone),
        "key": say.key(person.has_key, person.key_games, person.key_held),
        "next": ", ".join(person.assigned_after(now)) or None,
    }


def _one(person: Person, *, names: bool, now: str, zone: str) -> None:
    """One person, and what they did in each game."""
    from ledger.say import people as say
    from ledger.say.clock import short_time
    from ledger.say.words import upper_first

    row = _row(person)
    click.echo(f"{person.official} – {person.name}" if names else person.official)
    click.echo(upper_first("; ".join(row["roles"])) + ".")
    click.echo(say.training(person.trained_at, person.trained_until, now, zone))
    held = person.key_held
    click.echo(say.key_sentence(person.official, person.has_key, person.key_games, held))
    if not person.work:
        click.echo("Not assigned to any weigh-in, and at none so far.")
        return
    rows = []
    for one in person.work:
        counts = (one.weighs, one.initials, one.listings, one.signatures)
        there = "yes" if one.is_at_scale else "–"
        assigned = ", ".join(one.assigned) or "–"
        kickoff = short_time(one.kickoff, zone)
        rows.append([one.game, kickoff, assigned, there, *(str(n or "–") for n in counts)])
    click.echo()
    click.echo(table_text(rows, WORK))
