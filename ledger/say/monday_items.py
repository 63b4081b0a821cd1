"""The findings of a Monday in words, by who looks first and by game: children in number order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.derive.looking import LOOKERS, Row, lookers
from ledger.derive.monday import Looked, Monday
from ledger.derive.monday_games import GameWeek
from ledger.derive.statements import Statement
from ledger.derive.why import Why
from ledger.errors import count_of
from ledger.record.authority import role_name
from ledger.say import monday_cases
from ledger.say.clock import local_time, short_day, time_beside
from ledger.say.codes import HALVES
from ledger.say.lines import short_id
from ledger.say.lists import signature_of
from ledger.say.stated import what
from ledger.say.tense import NOW, THEN
from ledger.say.why import is_usual, sentence
from ledger.say.words import join

_COUNTED = ("plays", "snaps")


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """A finding: what it is about, what was seen, the words of `why`, and what to type.

    `asked` says where the case about it stands. A case without a finding has no rule.
    """

    rule: str
    about: str
    said: str
    asked: str = ""
    why: str = ""
    command: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One game's findings; `teams` says who plays, `until` when they should be settled, if so."""

    game: str
    teams: str
    until: str
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """What one role looks at first: "weighmasters of newts", "site official"."""

    role: str
    blocks: tuple[Block, ...]


def groups(found: Monday, rows: Sequence[Looked]) -> tuple[Group, ...]:
    """A case has its own due date, so what is about one stands apart from its game."""
    shown = []
    whose = sorted({(LOOKERS.index(lookers(one.row["rule"])[0]), one.teams) for one in rows})
    for place, teams in whose:
        role = LOOKERS[place]
        own = [one for one in rows if (lookers(one.row["rule"])[0], one.teams) == (role, teams)]
        blocks: list[Block] = []
        for week in found.games:
            of_game = [one for one in own if one.row["game"] == week.game]
            on_cases = [one for one in of_game if one.row["case"]]
            others = [one for one in of_game if not one.row["case"]]
            for part, until in ((others, _until(week, found.zone)), (on_cases, "")):
                if part:
                    blocks.append(_block(week, until, _items(found, part)))
        names = f"{role_name(role)}s" if role == "weighmaster" else role_name(role)
        name = f"{names} of {join(teams)}" if teams else role_name(role)
        shown.append(Group(role=name, blocks=tuple(blocks)))
    return tuple(shown)


def answered(found: Monday) -> tuple[Block, ...]:
    """By game, the findings that a case has answered, then the cases without one."""
    blocks = []
    for week in found.games:
        of_game = [one for one in found.answered if one.row["game"] == week.game]
        items = _items(found, of_game)
        items += tuple(
            Item(
                rule="",
                about=f"{about}: " if (about := monday_cases.about(row)) else "",
                said=monday_cases.question(row),
                asked=monday_cases.outcome(one, found.zone, found.now),
            )
            for row, one in found.ruled
            if row["game"] == week.game
        )
        if items:
            blocks.append(_block(week, "", items))
    return tuple(blocks)


def _block(week: GameWeek, until: str, items: tuple[Item, ...]) -> Block:
    teams = f"{week.visitor} at {week.home}"
    return Block(game=week.game, teams=teams, until=until, items=items)


def _game(found: Monday, game: str) -> GameWeek:
    return next(one for one in found.games if one.game == game)


def _until(game: GameWeek, zone: str) -> str:
    """ "settle before Sat, Sep 12, 2026, 9:00 AM CDT (acorn-2a)"."""
    if game.next is None:
        return "no later game of these teams"
    kickoff, later = game.next
    return f"settle before {local_time(kickoff, zone)} ({later})"


def _items(found: Monday, rows: Sequence[Looked]) -> tuple[Item, ...]:
    """The findings of one game: first those about no child, then each child, explained once.

    What is usual explains nothing beside a finding, so it is left out.
    """
    told: set[tuple[str, str]] = set()
    items = []
    for one in sorted(rows, key=lambda one: _order(found, one.row)):
        row = one.row
        child = (str(row["team"]), str(row["player"]))
        why = found.whys.get((row["game"], *child)) if child not in told else None
        told.add(child)
        is_told = why is not None and not is_usual(why)
        items.append(
            Item(
                rule=row["rule"],
                about=_about(found, one),
                said=_said(found, row),
                asked=monday_cases.stands(one.question, found.zone, found.now, row["rule"]),
                why=_why(why, found, row["game"]) if why and is_told else "",
                command=_command(found, row) if is_told else "",
            )
        )
    return tuple(items)


def _order(found: Monday, row: Row) -> tuple[str, bool, int, str]:
    if row["player"] is None:
        return ("", False, 0, "")
    number = found.numbers.get((row["game"], row["team"], row["player"]))
    return (row["team"], number is None, number or 0, row["player"])


def _why(why: Why, found: Monday, game: str) -> str:
    """After a ruling, a finding may tell of another day."""
    tense, zone = THEN if game in found.over else NOW, found.zone
    rulings = [one for one in (why.play_ruling, why.carry_ruling) if one]
    said = sentence(why, zone, tense)
    if not rulings:
        return said
    day = short_day(max(one.happened for one in rulings), zone)
    return f"{tense.by_ruling} {day}: {said}"


def _entry(found: Monday, row: Row) -> Statement | None:
    """The entry that the finding is about, if it is about one."""
    return found.entries.get(row["events"][0]) if row["events"] else None


def _said(found: Monday, row: Row) -> str:
    entry = _entry(found, row)
    if entry is None:
        return _marked(found, row) or str(row["detail"])
    seen = what(entry, found.zone)
    if row["rule"] != "withdrawn_by_other" or entry.event not in row["detail"]:
        return f"{seen}. {row['detail']}"
    if entry.kind in _COUNTED:
        counted = count_of(entry.says["count"], entry.kind.removesuffix("s"))
        seen = f"{counted} in {HALVES[entry.says['half']]}"
    return f"{seen} ({entry.event}): withdrawn by someone other than its author."


def _marked(found: Monday, row: Row) -> str:
    """ "… until Sep 19 (acorn-3b)." where the book got the mark later; else ""."""
    mark = found.marked.get((row["game"], str(row["player"])))
    if mark is None or row["rule"] != "book_not_initialed":
        return ""
    day = short_day(mark["happened_at"], found.zone)
    return f"{row['detail'].removesuffix('.')} until {day} ({mark['game']})."


def _about(found: Monday, one: Looked) -> str:
    """ "newts 12 (k101): "; "list of newts, signature of marmots: "; "8:36 AM CDT: ".

    The time stands beside an entry, and where nobody is named; "" for a whole game.
    """
    row, entry = one.row, _entry(found, one.row)
    if row["side"]:
        return f"{signature_of(row['team'], row['side'])}: "
    if one.children:
        children = [f"{team} {_player(found, row['game'], team, it)}" for team, it in one.children]
        return f"{join(children)}: "
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
    return time_beside(_game(found, game).kickoff, at, found.zone)


def _command(found: Monday, row: Row) -> str:
    """By number, or by id where a number is missing or two players of the team have it."""
    key = (row["game"], row["team"], row["player"])
    number = found.numbers.get(key)
    having = [one for one, its in found.numbers.items() if one[:2] == key[:2] and its == number]
    who = str(row["player"]) if number is None or len(having) > 1 else f"--number {number}"
    return f"weighbook why {row['game']} --team {row['team']} {who}"
