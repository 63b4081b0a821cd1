"""The findings of a Monday in words, by who looks first and by game: children in number order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from ledger.derive.looking import LOOKERS, Row, lookers
from ledger.derive.monday import GameWeek, Monday
from ledger.derive.statements import Statement
from ledger.record.authority import role_name
from ledger.say.clock import local_time, time_beside
from ledger.say.lines import short_id
from ledger.say.lists import signature_of
from ledger.say.stated import what
from ledger.say.why import sentence


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """A finding: what it is about, what was seen, the words of `why`, and what to type."""

    rule: str
    about: str
    said: str
    why: str
    command: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One game's findings for one role; `until` says when they should be settled."""

    game: str
    until: str
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """What one role looks at first."""

    role: str
    blocks: tuple[Block, ...]


def groups(found: Monday, rows: Sequence[Row]) -> tuple[Group, ...]:
    games = {game.game: game for game in found.games}
    shown = []
    for role in LOOKERS:
        own = [row for row in rows if lookers(row["rule"])[0] == role]
        blocks = tuple(
            Block(
                game=game,
                until=_until(games[game], found.zone),
                items=_items(found, list(of_game)),
            )
            for game, of_game in groupby(own, key=lambda row: str(row["game"]))
        )
        if blocks:
            shown.append(Group(role=role_name(role), blocks=blocks))
    return tuple(shown)


def _until(game: GameWeek, zone: str) -> str:
    """ "settle before Sat, Sep 12, 2026, 9:00 AM CDT (acorn-2a)"."""
    if game.next is None:
        return "no later game of these teams"
    kickoff, later = game.next
    return f"settle before {local_time(kickoff, zone)} ({later})"


def _items(found: Monday, rows: Sequence[Row]) -> tuple[Item, ...]:
    """The findings of one game: first those about no child, then each child, explained once."""
    told: set[tuple[str, str]] = set()
    items = []
    for row in sorted(rows, key=lambda row: _order(found, row)):
        child = (str(row["team"]), str(row["player"]))
        why = found.whys.get((row["game"], *child)) if child not in told else None
        told.add(child)
        entry = _entry(found, row)
        items.append(
            Item(
                rule=row["rule"],
                about=_about(found, row, entry),
                said=f"{what(entry, found.zone)}. {row['detail']}" if entry else row["detail"],
                why=sentence(why, found.zone) if why else "",
                command=_command(found, row) if why else "",
            )
        )
    return tuple(items)


def _order(found: Monday, row: Row) -> tuple[str, bool, int, str]:
    if row["player"] is None:
        return ("", False, 0, "")
    number = found.numbers.get((row["game"], row["team"], row["player"]))
    return (row["team"], number is None, number or 0, row["player"])


def _entry(found: Monday, row: Row) -> Statement | None:
    """The entry that the finding is about, if it is about one."""
    return found.entries.get(row["events"][0]) if row["events"] else None


def _about(found: Monday, row: Row, entry: Statement | None) -> str:
    """ "newts 12 (k101): "; "list of newts, signature of marmots: "; "8:36 AM CDT: ".

    The time stands beside an entry, and where nobody is named; "" for a whole game.
    """
    if row["side"]:
        return f"{signature_of(row['team'], row['side'])}: "
    team, player = (entry.team, entry.player) if entry else (row["team"], row["player"])
    who = [team, _player(found, row["game"], team, player), row["official"], row["case"]]
    words = " ".join(part for part in who if part)
    at = entry.happened if entry else None if words else row["at"]
    clock = _clock(found, row["game"], at) if at else ""
    named = ", ".join(part for part in (words, clock) if part)
    return f"{named}: " if named else ""


def _player(found: Monday, game: str, team: str | None, player: str | None) -> str:
    """ "12 (k101)"."""
    number = found.numbers.get((game, str(team), str(player)))
    shown = short_id(player) or ""
    return shown if number is None else f"{number} ({shown})"


def _clock(found: Monday, game: str, at: str) -> str:
    """The time, with its date unless it is the game's."""
    kickoff = next(one.kickoff for one in found.games if one.game == game)
    return time_beside(kickoff, at, found.zone)


def _command(found: Monday, row: Row) -> str:
    """By number, or by id where a number is missing or two players of the team have it."""
    key = (row["game"], row["team"], row["player"])
    number = found.numbers.get(key)
    having = [one for one, its in found.numbers.items() if one[:2] == key[:2] and its == number]
    who = str(row["player"]) if number is None or len(having) > 1 else f"--number {number}"
    return f"weighbook why {row['game']} --team {row['team']} {who}"
