"""weighbook findings"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

import click

from ledger.commands.asking import asked_names, names_option
from ledger.commands.shared import answer_options, opened, say_moment_of, show, show_json
from ledger.commands.typed import DATE, GAME, ROLE, TEAM
from ledger.errors import count_of
from ledger.say.lines import paragraph, short_id

NameOf = Callable[[str], str]
_WHERE = ("official", "case")
_EXPLAINED = ("rule", "what", "procedure", "source", "look", "due", "grain")


@click.command(short_help="Steps of the procedure that are missing or went wrong.")
@click.option("--game", type=GAME, help="Only findings in this game.")
@click.option("--team", type=TEAM, help="Only findings about this team.")
@click.option("--rule", help="Only findings of this rule.")
@click.option("--week", type=int, metavar="N", help="Only games of the season's N-th day.")
@click.option("--date", type=DATE, metavar="DATE", help="Only games on this local date.")
@click.option("--association", metavar="NAME", help="Only findings about or for its teams.")
@click.option(
    "--for", "role", type=ROLE, metavar="ROLE", help="Only what this role should look at."
)
@click.option("--explain", metavar="RULE", help="Say what a rule looks at.")
@names_option
@answer_options
def findings(
    game: str | None,
    team: str | None,
    rule: str | None,
    week: int | None,
    date: str | None,
    association: str | None,
    role: str | None,
    explain: str | None,
    store: Path,
    form: str,
    **moments: str | None,
) -> None:
    """List steps of the procedure that are missing or went wrong, by who should
    look. Steps that are not due yet, by the clock or --as-of, come last.

    A finding points at entries. It accuses nobody and disqualifies nobody.
    People decide what it means.

    Examples: weighbook findings --week 2 --for site_official; weighbook
    findings --game acorn-2a; weighbook findings --explain carrier_undecided
    """
    if explain:
        _explain(explain, form)
        return
    if week is not None and date is not None:
        raise click.UsageError("Give --week or --date, not both.")
    from ledger.derive.answers import ask
    from ledger.derive.asked import refuse_unknown
    from ledger.derive.days import day_of
    from ledger.derive.looking import by_due, narrow
    from ledger.derive.statements import numbers_of
    from ledger.record.times import now_utc

    with opened(store) as ledger:
        is_of_day = week is not None or date is not None
        refuse_unknown(ledger, game=game, team=team)
        asked = ask(
            ledger,
            "findings",
            game=None if is_of_day or association else game,
            team=team,
            rule=rule,
            **moments,
        )
        names = asked_names(ledger)
    games = None if game is None else {game}
    if is_of_day:
        day = day_of(asked.engine, week=week, date=date, today="")
        games = {*day.games} & (games or {*day.games})
    rows = narrow(
        asked.engine, asked.answer.dicts(), games=games, association=association, role=role
    )
    if form == "table":
        say_moment_of(asked)
    numbers = numbers_of(asked.engine)
    if form != "table" or not rows:
        shown = [dict(row) for row in rows]
        columns = [*asked.answer.columns]
        if form == "csv":
            columns.append("number")
            for row in shown:
                row["number"] = numbers.get((row["game"], row["team"], row["player"]))
        empty = "No findings."
        show(columns, shown, form, table={}, empty=empty, zone=asked.zone, names=names)
        return
    now = moments["as_of"] or moments["known_at"] or now_utc()
    found, still = by_due(asked.engine, rows, now=now, zone=asked.zone)
    _by_look(found, numbers, role, names)
    if still:
        click.echo("\nStill to do" if found else "Still to do")
        _by_look(still, numbers, role, names)
    later = f" {count_of(len(still), 'step')} still to do." if still else ""
    explained = "weighbook findings --explain RULE says what a rule looks at."
    counted = f"{count_of(len(found), 'finding')}.{later}"
    click.echo(f"\n{paragraph(f'{counted} {explained}')}")


def _by_look(
    rows: Sequence[Mapping[str, Any]],
    numbers: Mapping[tuple[Any, ...], int | None],
    role: str | None,
    names: NameOf | None,
) -> None:
    """Print findings by who looks first (or for `role` alone), then game by game."""
    from ledger.derive.looking import LOOKERS, lookers
    from ledger.record.authority import role_name

    for one in LOOKERS:
        own = [row for row in rows if one == (role or lookers(row["rule"])[0])]
        if own:
            click.echo(f"For: {role_name(one)}")
            _blocks(own, numbers, names)


def _blocks(
    rows: Sequence[Mapping[str, Any]],
    numbers: Mapping[tuple[Any, ...], int | None],
    names: NameOf | None,
) -> None:
    """Print findings game by game: the rule, its subject, what was found, the statements."""
    game: str | None = ""
    for row in rows:
        if row["game"] != game:
            game = row["game"]
            click.echo(f"  {game or 'Without a game'}")
        number = numbers.get((game, row["team"], row["player"]))
        click.echo(f"    {row['rule']:<24}  {_about(row, number, names)}".rstrip())
        click.echo(paragraph(row["detail"], indent=6))
        click.echo(paragraph(_events(row["events"]), indent=6))


def _about(row: Mapping[str, Any], number: int | None, names: NameOf | None) -> str:
    from ledger.say.lists import signature_of

    if row["side"]:
        return signature_of(row["team"], row["side"])
    parts = [row["team"]] if row["team"] else []
    if row["player"]:
        parts.append(short_id(row["player"]) if number is None else f"{number}")
        parts += [] if number is None else [f"({short_id(row['player'])})"]
        parts += [] if names is None else [names(row["player"])]
    parts += [f"{key} {row[key]}" for key in _WHERE if row[key]]
    return " ".join(parts)


def _events(events: Sequence[str]) -> str:
    shown = ", ".join(events[:4])
    return shown if len(events) <= 4 else f"{shown} and {len(events) - 4} more"


def _explain(rule: str, form: str) -> None:
    from ledger.derive.rule_header import rule_header
    from ledger.record.authority import role_name
    from ledger.say.codes import DUE

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
        *([("Due by", DUE[header.due])] if header.due else []),
        ("One finding for each", header.grain),
    ):
        click.echo(paragraph(f"{what}: {text}.", hang=2))
