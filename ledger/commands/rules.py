"""weighbook rules"""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path

import click

from ledger.commands.shared import opened, store_option, text_or_json_option
from ledger.say.lines import paragraph


@click.command(short_help="The league's rules of this season, in plain words.")
@store_option
@text_or_json_option
def rules(store: Path, form: str) -> None:
    """The league's rules of this season in plain words, as the ledger keeps to
    them. A committee can read here what it has chosen in league.toml.

    Example: weighbook rules
    """
    from ledger.derive.engine import Engine
    from ledger.say.rules import DEFAULT_MARK, league_rules

    with opened(store) as ledger:
        events = list(ledger.events(kind=("league", "division")))
    title, shown = league_rules([stored.event for stored in events], Engine(events))
    if form == "json":
        whole = {"league": title, "rules": [asdict(rule) for rule in shown]}
        click.echo(json.dumps(whole, ensure_ascii=False, indent=1))
        return
    click.echo(title)
    section = ""
    for rule in shown:
        if rule.section != section:
            section = rule.section
            click.echo(f"\n{section}")
        mark = f" ({DEFAULT_MARK})." if rule.is_default else "."
        click.echo(paragraph(f"– {rule.sentence.removesuffix('.')}{mark}", hang=2))
    click.echo(f"\nWhere it says {DEFAULT_MARK}, the league left what league.toml gives by itself.")
