"""Every kind of event, one row each, and the sets of kinds that the rest of the program asks for.

A new kind of statement is a row here and a class in `ledger.record.statements`; a test holds the
two together. Rejected: the columns on those classes. They need pydantic, and most commands read a
ledger in less time than it takes to import it. `audit/` and the bundle's own checker keep lists of
their own on purpose; a test compares.

>>> WEIGHS
('weigh', 'late_weigh')
>>> BRINGS_IN["player"]
('player', 'enter_player')
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Literal, NamedTuple, get_args

Named = Literal["team", "game", "official", "player", "case"]


class Kind(NamedTuple):
    """What is true of every event of a kind; a column left out does not hold for it.

    name       as events and day files have it
    origin     a row of the setup, a statement, or the ledger's own event, which no answer reads
    about      the finest thing it is about: a child, perhaps a child, a team, a game
    subject    the key of `data` by which it is found, beside game, team and player
    brings_in  the kind of id that it makes known
    roster     what it does to a roster, where it names a team
    mark       where a child's ok or over comes from
    on_list    how it changes a signed list: the child's own statement, something around the
               child (roster, book), or a change of the whole game
    case       what it does in a case
    file       the key of `data` that has the SHA-256 of a kept file
    per_child  one for each child and game: found by game or player, never by kind alone
    schedule   when and where a game is played
    in_packet  a packet shows it of the games asked about, where it names no child
    of_thing   its free text is about a thing, not about a child
    anywhere   stated in one game, it may change the list of another
    act        an official with a key signs it
    """

    name: str
    origin: Literal["setup", "statement", "own"] = "statement"
    about: Literal["", "child", "perhaps a child", "team", "game"] = ""
    subject: str = ""
    brings_in: Named | None = None
    roster: Literal["", "joins", "leaves", "renumbers"] = ""
    mark: Literal["", "scale", "book"] = ""
    on_list: Literal["", "own", "around", "game"] = ""
    case: Literal["", "opens", "refers", "tells", "decides", "closes"] = ""
    file: str = ""
    per_child: bool = False
    schedule: bool = False
    in_packet: bool = False
    of_thing: bool = False
    anywhere: bool = False
    act: bool = False


_ROWS = (
    Kind("league", "setup"),
    Kind("division", "setup", subject="division"),
    Kind("team", "setup", "team", brings_in="team"),
    Kind("player", "setup", "child", brings_in="player", roster="joins"),
    Kind("official", "setup", subject="official", brings_in="official"),
    Kind("game", "setup", "game", brings_in="game", schedule=True),
    Kind("roster_add", about="child", roster="joins", on_list="around"),
    Kind("roster_drop", about="child", roster="leaves", on_list="around"),
    Kind("number_change", about="child", roster="renumbers", on_list="around"),
    Kind("enter_player", about="child", brings_in="player", roster="joins", on_list="around"),
    Kind("trained", subject="value"),
    Kind("assign", about="team", subject="value"),
    Kind("appoint", subject="value", brings_in="official", anywhere=True),
    Kind("game_change", about="game", on_list="game", schedule=True, in_packet=True, of_thing=True,
         anywhere=True),
    Kind("game_off", about="game", schedule=True, in_packet=True, of_thing=True, anywhere=True),
    Kind("season_close", act=True),
    Kind("at_scale", about="team", in_packet=True),
    Kind("station", about="game", in_packet=True),
    Kind("scale_out", about="game", in_packet=True, of_thing=True),
    Kind("weigh", about="child", mark="scale", on_list="own", per_child=True),
    Kind("late_weigh", about="child", mark="scale", on_list="own", per_child=True),
    Kind("initial", about="child", mark="book", on_list="around", per_child=True, anywhere=True),
    Kind("list", about="child", on_list="own", per_child=True),
    Kind("strike_off", about="child", on_list="own", per_child=True),
    Kind("stripe", about="child", per_child=True),
    Kind("close", about="team", in_packet=True),
    Kind("countersign", about="team", file="scan", in_packet=True),
    Kind("half", about="game", on_list="game", in_packet=True),
    Kind("plays", about="child", per_child=True),
    Kind("snaps", about="game"),
    Kind("excuse", about="child"),
    Kind("concern", about="perhaps a child", in_packet=True),
    Kind("case_open", about="perhaps a child", subject="case", brings_in="case", case="opens",
         anywhere=True),
    Kind("case_refer", subject="case", case="refers"),
    Kind("case_statement", subject="case", case="tells"),
    Kind("case_exhibit", subject="case", case="tells", file="value"),
    Kind("ruling", about="perhaps a child", subject="case", on_list="own", case="decides"),
    Kind("case_close", subject="case", case="closes"),
    Kind("withdraw", subject="target"),
    Kind("chain_key", "own"),
    Kind("official_key", "own", subject="official", act=True),
    Kind("key_revoked", "own", subject="official", act=True),
    Kind("erasure", "own", about="perhaps a child", act=True),
    Kind("redaction", "own", file="after", act=True),
)  # fmt: skip
TABLE: Mapping[str, Kind] = {row.name: row for row in _ROWS}


def _those(is_one: Callable[[Kind], object]) -> tuple[str, ...]:
    return tuple(row.name for row in _ROWS if is_one(row))


SETUP = _those(lambda row: row.origin == "setup")
STATEMENTS = _those(lambda row: row.origin == "statement")
OWN = _those(lambda row: row.origin == "own")
TAKES_PART = _those(lambda row: row.about == "child" and not row.roster)
"""About a child in a game."""
PER_CHILD = _those(lambda row: row.per_child)
"""In the order in which the index of the event table names them."""
WEIGHS = _those(lambda row: row.mark == "scale")
MARKS = _those(lambda row: row.mark)
ROSTER = _those(lambda row: row.roster)
ROSTER_CHANGES = tuple(kind for kind in ROSTER if kind in STATEMENTS)
JOINS = {row.name: row.roster == "joins" for row in _ROWS if row.roster in ("joins", "leaves")}
"""Whether a kind puts a child on a roster, or takes the child off."""
ON_LIST = _those(lambda row: row.on_list == "own")
"""A child's own statements that change what a signed list says of the child."""
AROUND_LIST = _those(lambda row: row.on_list == "around")
GAME_ON_LIST = _those(lambda row: row.on_list == "game")
SCHEDULE = _those(lambda row: row.schedule)
SCHEDULE_CHANGES = tuple(kind for kind in SCHEDULE if kind in STATEMENTS)
CASE = _those(lambda row: row.case)
CASE_STATE = _those(lambda row: row.case in ("opens", "decides", "closes"))
CASE_TELLS = _those(lambda row: row.case == "tells")
IN_PACKET = _those(lambda row: row.in_packet)
OF_THING = _those(lambda row: row.of_thing)
ANYWHERE = _those(lambda row: row.anywhere)
ACTS = _those(lambda row: row.act)
SUBJECTS = {row.name: row.subject for row in _ROWS if row.subject}
KEYS = _those(lambda row: row.origin == "own" and row.subject == "official")
FILES = {row.name: row.file for row in _ROWS if row.file}
BRINGS_IN: Mapping[str, tuple[str, ...]] = {
    named: tuple(row.name for row in _ROWS if row.brings_in == named) for named in get_args(Named)
}
