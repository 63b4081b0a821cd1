"""weighbook rules"""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from ledger.commands.shared import opened, show_json, store_option, text_or_json_option
from ledger.say.lines import paragraph


@click.command(short_help="The league's rules this season, in plain words.")
@store_option
@text_or_json_option
def rules(store: Path, form: str) -> None:
    """Show the league's rules this season in plain words, as the ledger applies
    them. A committee can read here what it chose in league.toml.

    Example: weighbook rules
    """
    from ledger.derive.engine import Engine
    from ledger.say.rules import DEFAULT_MARK, league_rules

    with opened(store) as ledger:
        events = list(ledger.events(kind=("league", "division")))
    title, shown = league_rules([stored.event for stored in events], Engine(events))
    if form == "json":
        show_json({"league": title, "rules": [asdict(rule) for rule in shown]})
        return
    click.echo(title)
    section = ""
    for rule in shown:
        if rule.section != section:
            section = rule.section
            click.echo(f"\n{section}")
        mark = f" ({DEFAULT_MARK})." if rule.is_default else "."
        click.echo(paragraph(f"– {rule.sentence.removesuffix('.')}{mark}", hang=2))
    click.echo(f"\n“{DEFAULT_MARK}” marks a rule that the league left at its default.")
