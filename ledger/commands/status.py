"""weighbook status"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.shared import opened, store_option, table_text
from ledger.counts import count_of

if TYPE_CHECKING:
    from ledger.chain.event import Event
    from ledger.store.store import Store

_SETUP = ("league", "team", "game")


@click.command(short_help="What the ledger holds: counts, games, teams.")
@store_option
def status(store: Path) -> None:
    """What the ledger holds: the league, the chains, teams and games, and how
    much of it no opponent has witnessed yet.

    Example: weighbook status
    """
    with opened(store) as ledger:
        held: dict[str, list[Event]] = defaultdict(list)
        for stored in ledger.events(kind=_SETUP):
            event = stored.event
            held[event.kind].append(event)
        zone = "UTC"
        for event in held["league"]:
            league, zone = event.data, event.data["time_zone"]
            click.echo(f"{league['name']}, season {league['season']} ({zone})")
        _show_chains(ledger, zone)
        statements = ledger.count_by_game()
        signed = _signed_in_words(ledger)
    _show_teams(held["team"])
    _show_games(held["game"], statements, zone)
    _show_signed(signed)


def _show_chains(ledger: Store, zone: str) -> None:
    from ledger.commands.clock import local_text
    from ledger.witness.witnessed import witnessed

    covered = witnessed(ledger)
    for chain, length in ledger.lengths().items():
        head = ledger.head(chain).hash.hex()
        click.echo(f"Chain {chain}: {count_of(length, 'event')}; its head is {head[:16]}…")
        tail = length - covered.get(chain, 0)
        if tail:
            (first,) = ledger.events_by_id([f"{chain}:{length - tail + 1}"])
            since = local_text(first.event.recorded, zone)
            click.echo(f"  not yet witnessed: {count_of(tail, 'event')} since {since}")
        else:
            click.echo("  all of it is witnessed by a countersignature")


def _show_teams(teams: Sequence[Event]) -> None:
    rows = [
        (
            event.team or "",
            event.data["name"],
            event.data["division"],
            event.data.get("association", "–"),
        )
        for event in teams
    ]
    click.echo()
    click.echo(table_text(rows, ("Team", "Name", "Division", "Association")))


def _show_signed(signed: Mapping[str, str]) -> None:
    """Signed lists: game by game where the ledger keeps what was signed; of the sheets a count."""
    kept = {game: words for game, words in sorted(signed.items()) if words}
    sheets = len(signed) - len(kept)
    lines = [f"{game}: {words}" for game, words in kept.items()]
    lines += [f"{count_of(sheets, 'game')} signed on the sheet only"] * bool(sheets)
    if lines:
        click.echo("\n".join(["", "Signed lists", *(f"  {line}" for line in lines)]))


def _signed_in_words(ledger: Store) -> dict[str, str]:
    """By game with signatures, what has become of its lists; "" where all are on the sheet."""
    how: dict[str, set[str]] = defaultdict(set)
    for stored in ledger.events(kind=["countersign"]):
        how[stored.event.game or ""].add(stored.event.data.get("how", "sheet"))
    return {
        game: "" if ways == {"sheet"} else _states_in_words(ledger, game)
        for game, ways in how.items()
    }


def _states_in_words(ledger: Store, game: str) -> str:
    from ledger.derive.engine import Engine
    from ledger.derive.scope import read_game
    from ledger.derive.signatures import Signatures
    from ledger.say.signature_words import states_of_game

    events = read_game(ledger, game)
    engine = Engine(events)
    words = states_of_game(Signatures(engine, events).all())
    engine.close()
    return words


def _show_games(games: Sequence[Event], statements: Mapping[str, int], zone: str) -> None:
    from ledger.commands.clock import local_text

    rows = [
        (
            event.game or "",
            local_text(event.data["kickoff"], zone),
            f"{event.data['visitor']} at {event.data['home']}",
            str(statements[event.game or ""] - 1),
        )
        for event in sorted(games, key=lambda event: (event.data["kickoff"], event.game or ""))
    ]
    click.echo()
    click.echo(table_text(rows, ("Game", "Kickoff as scheduled", "Teams", "Statements")))
