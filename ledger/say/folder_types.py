"""What a cell of a season folder holds, in words."""

from __future__ import annotations

from typing import Annotated, Any, get_args, get_origin

from ledger.record import fields, league
from ledger.record.hints import fixed_words, given
from ledger.say.words import join

ONE_OF_THE_WORDS = "one of the kind's words"
_CELLS: list[tuple[Any, str]] = [
    (fields.Id, "id"),
    (fields.PlayerId, "id of a player"),
    (fields.Role, "role"),
    (fields.PlayerNumber, "whole number, 0 to 99"),
    (fields.Count, "whole number, 0 to 999"),
    (fields.Hundredths, "pounds, at most two decimal places"),
    (fields.Sha256, "SHA-256, 64 hexadecimal digits"),
    (fields.Target, "ref or event id"),
    (fields.Utc, "time"),
    (fields.Text, "text"),
]
_SETTINGS: list[tuple[Any, str]] = [
    (fields.Text, "text"),
    (bool, "true or false"),
    (league.Weight, "pounds over 0"),
    (league.Reviewers, "roles, in order"),
    (league.DateOrNone, "a date, or nothing"),
    (league.CardLines, f"lines of 1 to {league.LONGEST_CARD_LINE} characters"),
]
_BY_KEY = {
    "time_zone": "a name of the tz database",
    "limit_allowance": "dates with pounds",
    "by_squad_size": "steps",
}


def cell_type(hint: Any) -> str:
    """What a cell of this type holds; fixed words stand with their kind."""
    found = (words for known, words in _CELLS if given(hint) == known)
    return next(found, ONE_OF_THE_WORDS)


def setting_type(key: str, hint: Any) -> str:
    """What a setting of league.toml holds."""
    if key in _BY_KEY:
        return _BY_KEY[key]
    for known, words in _SETTINGS:
        if hint == known:
            return words
    if fixed := fixed_words(hint):
        return join(fixed, "or")
    if get_origin(hint) is Annotated:
        bounds = {type(bound).__name__: bound for bound in get_args(hint)[1].metadata}
        return f"a whole number, {bounds['Ge'].ge:,} to {bounds['Le'].le:,}"
    return setting_type(key, given(hint))
