"""weighbook findings"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import click

from ledger.commands.shared import answer_options, opened, say_moment_of, show, show_json
from ledger.errors import count_of
from ledger.say.lines import paragraph, short_id

_WHERE = ("official", "side", "case")
_EXPLAINED = ("rule", "what", "procedure", "source", "look", "grain")


@click.command(short_help="Steps of the procedure that are missing or went wrong.")
@click.option("--game", help="Only findings in this game.")
@click.option("--team", help="Only findings about this team.")
@click.option("--rule", help="Only findings of this rule.")
@click.option("--explain", metavar="RULE", help="Say what a rule looks at.")
@answer_options
def findings(
    game: str | None,
    team: str | None,
    rule: str | None,
    explain: str | None,
    store: Path,
    form: str,
    **moments: str | None,
) -> None:
    """List steps of the procedure that are missing or went wrong.

    A finding points at entries. It accuses nobody and disqualifies nobody.
    People decide what it means.

    Examples: weighbook findings --game acorn-2a; weighbook findings --explain
    carrier_undecided
    """
    if explain:
        _explain(explain, form)
        return
    from ledger.derive.answers import ask
    from ledger.derive.statements import numbers_of

    with opened(store) as ledger:
        asked = ask(ledger, "findings", game=game, team=team, rule=rule, **moments)
    if form == "table":
        say_moment_of(asked)
    rows = asked.answer.dicts()
    if form != "table" or not rows:
        show(asked.answer.columns, rows, form, table={}, empty="No findings.")
        return
    _blocks(rows, numbers_of(asked.engine))


def _blocks(rows: Sequence[dict[str, Any]], numbers: Mapping[tuple[Any, ...], int | None]) -> None:
    """Print findings game by game: the rule, its subject, what was found, the statements."""
    game: str | None = ""
    for row in rows:
        if row["game"] != game:
            game = row["game"]
            click.echo(game or "Without a game")
        number = numbers.get((game, row["team"], row["player"]))
        click.echo(f"  {row['rule']:<24}  {_about(row, number)}".rstrip())
        click.echo(paragraph(row["detail"], indent=4))
        click.echo(paragraph(_events(row["events"]), indent=4))
    found = count_of(len(rows), "finding")
    click.echo(f"\n{found}. weighbook findings --explain RULE says what a rule looks at.")


def _about(row: Mapping[str, Any], number: int | None) -> str:
    parts = [row["team"]] if row["team"] else []
    if row["player"]:
        parts.append(short_id(row["player"]) if number is None else f"{number}")
        parts += [] if number is None else [f"({short_id(row['player'])})"]
    parts += [f"{key} {row[key]}" for key in _WHERE if row[key]]
    return " ".join(parts)


def _events(events: Sequence[str]) -> str:
    shown = ", ".join(events[:4])
    return shown if len(events) <= 4 else f"{shown} and {len(events) - 4} more"


def _explain(rule: str, form: str) -> None:
    from ledger.derive.rule_header import rule_header
    from ledger.record.authority import role_name

    header = rule_header(rule)
    if form == "json":
        show_json({key: getattr(header, key) for key in _EXPLAINED})
        return
    click.echo(header.rule)
    for what, text in (
        ("Raised for", header.what),
        ("The procedure", header.procedure),
        ("Source", header.source),
        ("For", ", ".join(map(role_name, header.look))),
        ("One finding for each", header.grain),
    ):
        click.echo(paragraph(f"{what}: {text}.", hang=2))
