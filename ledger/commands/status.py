"""weighbook status"""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any

import click

from ledger.commands.shared import opened, store_option, table_text


@click.command(short_help="What the ledger holds: counts, games, teams.")
@store_option
def status(store: Path) -> None:
    """What the ledger holds: the league, the chains, teams and games.

    Example: weighbook status
    """
    from ledger.commands.clock import local_text

    setup = ("league", "division", "team", "game")
    with opened(store) as ledger:
        held = [json.loads(stored.body) for stored in ledger.events(kind=setup)]
        lengths = ledger.lengths()
        heads = {chain: ledger.head(chain) for chain in lengths}
        per_game = Counter(ledger.count_by_game())
    by_kind: dict[str, list[dict[str, Any]]] = {kind: [] for kind in setup}
    for event in held:
        by_kind[event["kind"]].append(event)
    for event in by_kind["league"]:
        data = event["data"]
        click.echo(f"{data['name']}, season {data['season']} ({data['time_zone']})")
    for chain, length in lengths.items():
        click.echo(f"Chain {chain}: {length:,} events; its head is {heads[chain].hash.hex()[:16]}…")
    click.echo()
    teams = [
        (e["team"], e["data"]["name"], e["data"]["division"], e["data"].get("association", "–"))
        for e in by_kind["team"]
    ]
    click.echo(table_text(teams, ("Team", "Name", "Division", "Association")))
    click.echo()
    zone = by_kind["league"][0]["data"]["time_zone"] if by_kind["league"] else "UTC"
    games = [
        (
            event["game"],
            local_text(event["data"]["kickoff"], zone),
            f"{event['data']['visitor']} at {event['data']['home']}",
            str(per_game[event["game"]] - 1),
        )
        for event in sorted(by_kind["game"], key=lambda e: (e["data"]["kickoff"], e["game"]))
    ]
    click.echo(table_text(games, ("Game", "Kickoff as scheduled", "Teams", "Statements")))
