"""What people type for a game, a team or a time, as the ledger calls it.

An id counts as it is. Otherwise capitals, spaces and accents do not count, and a game may be typed
as a day and a team ("9/5 newts", "week 2 newts", "newts at marmots"). What means nothing is
returned as typed, so that the command refuses it in its own words; InputError if it may mean
several.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from ledger.derive.directory import Directory, Game
from ledger.errors import InputError
from ledger.record.times import FULL, zone
from ledger.record.typed_times import typed_date, typed_time
from ledger.store.league import league_zone
from ledger.store.store import Store
from ledger.suggest import folded

MOST_SHOWN = 6
_WEEK = re.compile(r"\bweek *(\d{1,2})\b", re.IGNORECASE | re.ASCII)
_DAY = re.compile(
    r"\b(\d{4}-\d\d?-\d\d?|\d\d?/\d\d?/\d{4}|\d\d?/\d\d?|[a-z]{3,9}\.? \d\d?, ?\d{4})\b(?![/-])",
    re.IGNORECASE | re.ASCII,
)
_BETWEEN = re.compile(r"\s+(?:at|vs\.?|v\.?|and|@|-)\s+|\s*[@,]\s*", re.IGNORECASE)
_AT = re.compile(r"\s(at|@)\s", re.IGNORECASE)
_NUMBERED = re.compile(r"(.*\S)\s*[ #]\s*(\d\d?)", re.ASCII)


class SeveralFitError(InputError):
    """What was typed may mean several; `shown` names them."""

    def __init__(self, text: str, what: str, shown: str) -> None:
        self.shown = shown
        hint = "Type one of these ids, or more words. weighbook find TEXT says more about them."
        super().__init__(f"'{text}' may be the {what} {shown}", hint=hint)


def typed_team(store: Store, text: str) -> str:
    """The id of a team: by id, name, or a word of its name that no other team has."""
    if any(store.events(kind=["team"], team=[text])):
        return text
    return only_one(text, teams_typed(Directory(store), text), "team")


def typed_game(store: Store, text: str) -> str:
    """The id of a game: by id, or by day and team, week and team, or both teams."""
    if any(store.events(kind=["game"], game=[text])):
        return text
    held = Directory(store)
    if alike := [one.game for one in held.games if folded(one.game) == folded(text)]:
        return only_one(text, alike, "game")
    return only_one(text, [one.game for one in games_typed(held, text)], "game")


def team_and_number(store: Store, text: str) -> tuple[str, int] | None:
    """The team and the number of "newts 12"; None if the text is something else."""
    match = _NUMBERED.fullmatch(text)
    if match is None:
        return None
    team = typed_team(store, match[1])
    return (team, int(match[2])) if any(store.events(kind=["team"], team=[team])) else None


def refuse_player_alone(store: Store, text: str) -> None:
    """InputError if this, typed as a game, is a team and a number: which game is missing."""
    match = _NUMBERED.fullmatch(text)
    if match is None or any(store.events(kind=["game"], game=[text])):
        return
    team = typed_team(store, match[1])
    game = next((one.game for one in Directory(store).games if team in one.sides), "GAME")
    hint = f'Type the game too, and first: weighbook why {game} "{text}"'
    raise InputError(f"'{text}' is no game", hint=hint)


def typed_moment(store: Store, text: str, *, game: str | None = None) -> str:
    """UTC text of a typed time; ValueError says what to type (`ledger.record.typed_times`).

    A clock without a day is of the game's day, without `game` of today.
    """
    near = None
    if game is not None and not FULL.fullmatch(text):
        near = next((one.kickoff for one in Directory(store).games if one.game == game), None)
    return typed_time(text, zone(league_zone(store)), near=near)


def teams_typed(held: Directory, text: str) -> list[str]:
    """The teams with this id or name, otherwise those with this word in their name."""
    wanted = folded(text)
    if not wanted:
        return []
    whole = [one.team for one in held.teams if wanted in (folded(one.team), folded(one.name))]
    words = [one.team for one in held.teams if wanted in map(folded, one.name.split())]
    return whole or words


def games_typed(held: Directory, text: str) -> Sequence[Game]:
    """The games of this day or week, of this team, or of both teams ("newts at marmots")."""
    games: Iterable[Game] = held.games
    is_narrowed = False
    if week := _WEEK.search(text):
        days = sorted({one.date for one in held.games})
        at = int(week[1])
        wanted = days[at - 1 : at] if at else []
        games = [one for one in games if one.date in wanted]
        text, is_narrowed = _without(text, week), True
    if day := _DAY.search(text):
        games = [one for one in games if _is_on(one, day[1])]
        text, is_narrowed = _without(text, day), True
    text = text.strip(" ,")
    if not text:
        return list(games) if is_narrowed else []
    sides = [teams_typed(held, part) for part in _BETWEEN.split(text)]
    if len(sides) > 2 or not all(sides):
        return []
    if len(sides) == 2 and _AT.search(text):
        return [one for one in games if one.visitor in sides[0] and one.home in sides[1]]
    return [one for one in games if all({*teams} & {*one.sides} for teams in sides)]


def _is_on(game: Game, day: str) -> bool:
    year = "" if day.count("/") != 1 else f"/{game.date[:4]}"
    found = typed_date(f"{day}{year}")
    return found is not None and found.isoformat() == game.date


def _without(text: str, match: re.Match[str]) -> str:
    return f"{text[: match.start()]} {text[match.end() :]}"


def only_one(
    text: str, found: Sequence[str], what: str, told: Mapping[str, str] | None = None
) -> str:
    """The one that was found, or the text as typed; SeveralFitError if there are several.

    `told` says each id with what tells it apart, such as a name.
    """
    if len(found) <= 1:
        return found[0] if found else text
    shown = ", ".join((told or {}).get(one, one) for one in found[:MOST_SHOWN])
    more = f", and {len(found) - MOST_SHOWN} more" if len(found) > MOST_SHOWN else ""
    raise SeveralFitError(text, what, shown + more)
