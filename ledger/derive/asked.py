"""Refuse questions about games and teams that the ledger does not know.

"No findings." about an unknown team would be a false all-clear.
"""

from __future__ import annotations

from ledger.errors import InputError
from ledger.record.corrections import rows_that_count
from ledger.store.store import Store
from ledger.suggest import suggest, suggest_hint


def unknown_game(store: Store, game: str) -> InputError:
    """Return the error for a game that the ledger does not have, with a suggestion."""
    games = {str(stored.event.game) for stored in store.events(kind=["game"])}
    hint = suggest_hint(game, games, "weighbook status lists the games.")
    return InputError(f"no game {game} in this ledger", hint=hint)


def unknown_team(store: Store, team: str) -> InputError:
    """Return the error for a team that the ledger does not have, with a suggestion."""
    events = rows_that_count(stored.event for stored in store.events(kind=["team"]))
    names = {str(event.team): str(event.data["name"]) for event in events}
    called = suggest(team, names.values())
    whose = [f"{name} is {one}" for one, name in names.items() if name in called]
    lists = f"{'; '.join(whose)}." if whose else "weighbook status lists the teams."
    hint = suggest_hint(team, names, lists)
    return InputError(f"no team {team} in this ledger", hint=hint)


def refuse_unknown(store: Store, *, game: str | None = None, team: str | None = None) -> None:
    """Raise InputError for an unknown game or team, or a team that is not in the game."""
    found = [] if game is None else list(store.events(kind=["game"], game=[game]))
    if game is not None and not found:
        raise unknown_game(store, game)
    if team is not None and not list(store.events(kind=["team"], team=[team])):
        raise unknown_team(store, team)
    if game is not None and team is not None:
        data = found[0].event.data
        refuse_no_side(game, team, (data["visitor"], data["home"]))


def not_held_yet(game: str, held_since: str) -> InputError:
    """Return the error for a game recorded only after --known-at; `held_since` is UTC text."""
    return InputError(
        f"{game} was not in the ledger yet at the moment of --known-at",
        hint=f"It has been there since {held_since}. --as-of goes by the time of entry.",
    )


def refuse_no_side(game: str, team: str, sides: tuple[str, str]) -> None:
    """Raise InputError for a team that does not play in the game."""
    if team not in sides:
        hint = f"Teams of {game}: {' and '.join(sorted(sides))}."
        raise InputError(f"{team} does not play in {game}", hint=hint)
