"""What may change in a row that was loaded, and what to type for it."""

from __future__ import annotations

from collections.abc import Mapping

CORRECT = "weighbook load FOLDER --correct --by WHO --reason TEXT"
_FIXED = {
    "league": {"season", "time_zone"},
    "team": {"division"},
    "player": {"team"},
    "game": {"division", "home", "visitor"},
}
"""By kind of row, the keys that no correction changes; the rest may be corrected."""
_STAYS = "as loaded: it stays all season"
_TO_TYPE: Mapping[tuple[str, str], str] = {
    ("league", "season"): "the season as loaded. Load a new season into a ledger of its own",
    ("league", "time_zone"): f"the time zone {_STAYS}",
    ("team", "division"): f"the division {_STAYS}",
    ("player", "team"): "the team as loaded. A player leaves a team by weighbook record "
    "roster_drop, and joins one by weighbook record roster_add",
    ("player", "number"): "the number as loaded. If it changes from a day on: weighbook record "
    f"number_change. If it was always wrong: {CORRECT}",
    ("game", "division"): f"the division {_STAYS}",
    ("game", "kickoff"): "the kickoff as loaded. If the game is moved: weighbook record "
    f"game_change. If it was always wrong: {CORRECT}",
    ("game", "site"): "the site as loaded. If the game is moved: weighbook record game_change. "
    f"If it was always wrong: {CORRECT}",
}
_OTHER_GAME = "as loaded. For another game: weighbook record game_off, then a new row"
_GONE: Mapping[str, str] = {
    "player": "every row loaded before. Put the row back. To take a player off a team: weighbook "
    "record roster_drop",
    "official": "every line loaded before. For a new role: weighbook record appoint. For one line "
    f"instead of another: {CORRECT}",
    "game": "every row loaded before. Put the row back. To call a game off: weighbook record "
    "game_off",
}


def may_be_corrected(kind: str, key: str) -> bool:
    """Whether `load --correct` may change this key of a row of this kind."""
    return key not in _FIXED.get(kind, ())


def to_type(kind: str, key: str) -> str:
    """What a changed key should be, and the command for the change."""
    if kind == "game" and key in ("home", "visitor"):
        return f"the {key} team {_OTHER_GAME}"
    return _TO_TYPE.get((kind, key), f"the row as loaded. To correct it: {CORRECT}")


def gone(kind: str) -> str:
    """What to do about a row that is missing."""
    return _GONE.get(kind, "every row loaded before")
