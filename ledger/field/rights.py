"""Who may state and call what: one table, `RIGHTS`. Tests make theirs from it.

Roles are those of the ledger that were given with authority; a role for one game counts in it
alone. So does one that the other team's weighmaster gave there while nobody else was at hand: its
holder works at that table, but signs nothing and confirms nobody. Who coaches either team of a game
never states at its scale, whatever else they are; that goes by any coach's role, with authority or
without.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Literal, NamedTuple

from ledger.actions.officials import Held, Officials
from ledger.record.authority import APPOINT_AT_THE_TABLE, OFFICES, may_appoint
from ledger.record.fields import ROLES
from ledger.record.kinds import CASE

Where = Literal["own team", "own game", "anywhere"]
"""In games that the role's team plays; there, where a weighmaster is assigned, in the game that the
role is for, and in any if the role has no team; or anywhere, and about no game too."""

READ_GAME, SIGN, SEE_SESSIONS = "read a game", "sign a list", "see all sessions"
MAKE_KEYS = "make keys"
AT_SCALE = ("at_scale", "station", "scale_out", "weigh", "late_weigh", "initial", "list",
            "strike_off", "stripe", "close")  # fmt: skip
_PRESIDENTS = ("association_president", "division_president")
_LEAD = ("site_official", "head_official", "board_member", "division_president")


class Right(NamedTuple):
    """Holders of one of these roles may do each of these things there."""

    what: tuple[str, ...]
    roles: tuple[str, ...]
    where: Where


RIGHTS = (
    Right((*AT_SCALE, "concern"), ("weighmaster",), "own game"),
    Right((*AT_SCALE, "concern"), ("board_member", *_PRESIDENTS), "anywhere"),
    Right(("plays", "snaps", "concern"), ("play_counter", "weighmaster"), "own game"),
    Right(("half", "snaps", "game_change", "game_off", "scale_out", "excuse", "concern"), _LEAD,
          "own game"),
    Right(("case_open", "concern"), ROLES, "own game"),
    Right(("roster_add", "roster_drop", "number_change", "enter_player", "assign", "trained",
           "game_change"), ("registrar",), "anywhere"),
    Right(("appoint",), OFFICES, "anywhere"),
    Right(("appoint",), tuple(sorted(APPOINT_AT_THE_TABLE)), "own game"),
    Right(CASE, _PRESIDENTS, "anywhere"),
    Right((READ_GAME,), ROLES, "own game"),
    Right((READ_GAME,), ("registrar", "board_member", *_PRESIDENTS), "anywhere"),
    Right((SIGN,), ("weighmaster",), "own team"),
    Right((SEE_SESSIONS, MAKE_KEYS), OFFICES, "anywhere"),
)  # fmt: skip
"""`withdraw` is not here: only its author takes a statement back. Nor are countersign, which is
signed, season_close, and what the ledger writes itself: nobody states these on the page."""

ANYONE, SIGNED_IN, CONFIRMED = "anyone", "signed in", "confirmed"
CALLS = {
    "GET /": ANYONE,
    "GET /sw.js": ANYONE,
    "GET /static/{version}/{name:path}": ANYONE,
    "GET /api/schema.json": ANYONE,
    "GET /api/me": ANYONE,
    "GET /api/officials": ANYONE,
    "POST /api/sign-in": ANYONE,
    "GET /api/new-here": ANYONE,
    "POST /api/new-here": ANYONE,
    "GET /api/to-confirm": CONFIRMED,
    "POST /api/confirm": SIGNED_IN,
    "POST /api/sign-out": ANYONE,
    "GET /api/sessions": CONFIRMED,
    "POST /api/sessions/revoke": CONFIRMED,
    "GET /api/day": SIGNED_IN,
    "GET /api/news": CONFIRMED,
    "POST /api/acts": CONFIRMED,
    "POST /api/devices": CONFIRMED,
    "GET /api/games/{game}": READ_GAME,
    "GET /api/games/{game}/devices": READ_GAME,
    "GET /api/games/{game}/teams/{team}/open": READ_GAME,
    "GET /api/games/{game}/teams/{team}/list": READ_GAME,
    "POST /api/games/{game}/teams/{team}/sign": READ_GAME,
    "POST /api/games/{game}/teams/{team}/ink": READ_GAME,
    "GET /api/receipts/{event}": CONFIRMED,
    "POST /api/phones": CONFIRMED,
    "GET /api/phones/mine": CONFIRMED,
    "POST /api/phones/confirm": CONFIRMED,
    "GET /api/heads": CONFIRMED,
    "GET /api/signatures/{event}": CONFIRMED,
    "POST /api/signatures/{event}/witness": CONFIRMED,
    "GET /print/list/{game}/{team}": READ_GAME,
    "GET /print/blank-list/{team}": CONFIRMED,
    "GET /print/blank-list/{game}/{team}": READ_GAME,
    "GET /print/play-count/{team}": CONFIRMED,
    "GET /print/play-count/{game}/{team}": READ_GAME,
    "GET /print/card/{game}": READ_GAME,
    "GET /print/receipt/{event}": CONFIRMED,
    "GET /print/style/{document}.css": ANYONE,
    "GET /fonts/{name}": ANYONE,
}
"""What a call needs of somebody on the device: to be signed in or confirmed, or, confirmed, a right
of the table in the game of its address. Where the address has no game, the handler asks for the
game that it finds, and for who signs. A route that is not here is not served. Whoever is not
confirmed reads nothing of a child, named or not: anyone can type an official's name."""
PRACTICE_CALLS = {
    "GET /api/practice": CONFIRMED,
    "POST /api/practice/begin": CONFIRMED,
    "POST /api/practice/play": CONFIRMED,
    "POST /api/practice/end": CONFIRMED,
}
"""Served by `weighbook serve --practice` alone."""

Author = Callable[[str], str | None]
"""Who stated the target of a withdrawal, a ref or an event's id; None where there is none."""


def may(officials: Officials, official: str, what: str, game: str | None = None) -> bool:
    """Whether the official may do this, in this game or, without one, about none."""
    if what in AT_SCALE and officials.is_coach(official, game):
        return False
    held = list(roles_in(officials, official, game))
    if what != SIGN:
        held += [one for one in officials.roles.get(official, ()) if is_let_in(one, game)]
    return any(
        what in right.what
        and one.role in right.roles
        and _is_there(officials, official, one, right, game)
        for right in RIGHTS
        for one in held
    )


def roles_in(officials: Officials, official: str, game: str | None) -> Iterator[Held]:
    """The official's roles with authority that count in this game, whatever team it has."""
    for one in officials.roles.get(official, ()):
        if one.has_authority and one.game in (None, game):
            yield one


def is_let_in(held: Held, game: str | None) -> bool:
    """Whether the role is for this game, and still to be confirmed."""
    return held.to_confirm and held.game == game


def why_not(
    officials: Officials, by: str, entries: Iterable[Mapping[str, str]], author: Author
) -> str:
    """Why `by` may not state these entries, in a sentence; "" where they may.

    An entry's game is the one it names. A target must be there already, or be of these entries: one
    that somebody else is recording at this moment would slip through.
    """
    given = list(entries)
    own = {entry.get("ref"): by for entry in given}
    for entry in given:
        target = entry.get("target", "")
        if reason := _why_not(officials, by, entry, author(target) or own.get(target)):
            return reason
    return ""


def may_confirm(officials: Officials, by: str, official: str) -> bool:
    """Whether `by` could have appointed the official to every role they hold, or let them in."""
    held = [o for o in officials.roles.get(official, ()) if o.has_authority or o.to_confirm]
    return (
        by != official
        and bool(held)
        and all(
            may_appoint((mine.role for mine in roles_in(officials, by, one.game)), one.role)
            or _has_let_in(officials, by, official, one)
            for one in held
        )
    )


def may_let_in(officials: Officials, by: str, entry: Mapping[str, str]) -> bool:
    """Whether `by` may state this appoint for one game without authority: see `Officials`."""
    return by != entry["value"] and officials.is_across(by, entry["team"], entry["game"])


def _has_let_in(officials: Officials, by: str, official: str, held: Held) -> bool:
    """Whether `by` gave this role for one game, with authority or, before that, without."""
    return held.game is not None and any(
        (one[:3], one.by) == (held[:3], by) for one in officials.roles[official]
    )


def _why_not(officials: Officials, by: str, entry: Mapping[str, str], author: str | None) -> str:
    kind, game = entry.get("kind", ""), entry.get("game")
    if kind == "withdraw":
        if author is None:
            return "There is no such entry to take back."
        return "" if author == by else "Only its author can take an entry back."
    if not may(officials, by, kind, game):
        if kind in AT_SCALE and officials.is_coach(by, game):
            return "A coach of either team enters nothing at the scale."
        return f"Your role does not let you enter this here ({kind})."
    if kind == "appoint":
        held = (one.role for one in roles_in(officials, by, game))
        if by == entry.get("value") or not may_appoint(held, entry.get("to", "")):
            return "You may not appoint this person to this role."
    return ""


def _is_there(
    officials: Officials, official: str, held: Held, right: Right, game: str | None
) -> bool:
    if right.where == "anywhere":
        return True
    if game is None or game not in officials.sides:
        return False
    if held.team in officials.sides[game]:
        return True
    places = officials.assigned.get(official, frozenset())
    is_assigned = held.role == "weighmaster" and any(where == game for where, _ in places)
    return right.where == "own game" and (held.team is None or held.game == game or is_assigned)
