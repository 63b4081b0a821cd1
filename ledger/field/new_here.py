"""Somebody new, over HTTP: the games to choose from, asking, who waits, confirming."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ledger.actions.taps import DiffersError
from ledger.field.answers import Refusal, answer
from ledger.field.bodies import Confirm, NewHere, read_body
from ledger.field.days import games_shown_first
from ledger.field.desk import desk_of
from ledger.field.games import Games
from ledger.field.guard import address_of, device_of
from ledger.field.newcomers import (
    appointing,
    by_code,
    check_known,
    confirmers,
    holds,
    let_in,
    new_id,
)
from ledger.field.said_of_me import said_of_me
from ledger.field.sessions import New, SignedIn

MOST_NEW = 40
"""Shown at once, the latest. Officials who are known stand once each, whoever asks as them."""


async def get_games(request: Request) -> Response:
    """The games of the day with their teams, to choose one's own. No place and no child."""
    return answer(await desk_of(request).ask(_games))


async def post_new(request: Request) -> Response:
    """Ask to be let in: the code to tell stands in the answer."""
    said = await read_body(request, NewHere)
    desk, device = desk_of(request), device_of(request)
    if (said.name is None) == (said.official is None):
        raise Refusal(400, "not_understood", "Give a name, or choose yours.")
    games = {one["game"]: one for one in await desk.ask(_games)}
    sides = [one["team"] for one in games.get(said.game, {}).get("teams", ())]
    if said.team not in sides:
        hint = "Go back, and choose the team again."
        raise Refusal(422, "refused", "There is no such game for this team today.", hint=hint)
    officials, people = device.officials, desk.people
    if said.official is not None:
        check_known(officials, said.official, said.game)
    official = said.official or new_id(officials, people.waiting())
    name = said.name or officials.names[official]
    new = New(name, said.game, said.team, said.to)
    wanted = None if holds(officials, official, new) else new
    return said_of_me(request, people.ask_in(device, official, wanted, address_of(request)))


async def get_waiting(request: Request) -> Response:
    """Who waits and can be confirmed here, and who works without having been appointed."""
    desk, device = desk_of(request), device_of(request)
    officials = device.officials
    found: list[dict[str, Any]] = []
    for person in _each_once(desk.people.waiting()):
        able = confirmers(officials, device.confirmed, person)
        if able and (person.new is None or sum("to" in one for one in found) < MOST_NEW):
            by = [{"official": o, "has_authority": has} for o, has in able]
            found.append(_person(officials.names, person) | {"by": by})
    working = [
        {"official": official, "by_name": officials.names[by], **_new(new)}
        for official, new, by in let_in(officials, device.confirmed)
    ]
    new = [one for one in [*found, *working] if "game" in one]
    named = await desk.ask(_named, {one["game"] for one in new})
    for one in new:
        one |= named[one["game"], one["team"]]
    return answer({"waiting": found, "let_in": working})


async def post_confirm(request: Request) -> Response:
    """By the code of the one to be confirmed, or of the server's terminal."""
    said = await read_body(request, Confirm)
    device, people, address = device_of(request), desk_of(request).people, address_of(request)
    if said.terminal is not None:
        people.confirm_by_terminal(device, said.official, said.terminal, address)
    elif said.code is not None:
        await _by_code(request, said)
    else:
        raise Refusal(400, "not_understood", "Type a code.")
    return said_of_me(request, people.device(device.cookie))


async def _by_code(request: Request, said: Confirm) -> None:
    desk, device = desk_of(request), device_of(request)
    asked = (desk.people, device, said.official, str(said.code), address_of(request), said.by)
    session, person, by = by_code(*asked)
    if person.new is not None and not holds(device.officials, person.official, person.new):
        with suppress(DiffersError):  # the same ask, confirmed twice at once
            await desk.writer.record(appointing(device.officials, by, session, person, desk.zone))
    desk.people.confirm(session, person, by)


ROUTES = [
    Route("/api/new-here", get_games),
    Route("/api/new-here", post_new, methods=["POST"]),
    Route("/api/to-confirm", get_waiting),
    Route("/api/confirm", post_confirm, methods=["POST"]),
]


def _games(games: Games) -> list[dict[str, Any]]:
    shown = [_game(games, game) for game in games_shown_first(games)]
    found = [one for one in shown if not one.pop("is_off")]
    return sorted(found, key=lambda one: (one["kickoff"], one["game"]))


def _game(games: Games, game: str) -> dict[str, Any]:
    head = games.head(game)
    same = ("division_name", "kickoff", "kickoff_local", "is_off")
    teams = [{"team": one["team"], "name": one["name"]} for one in head["teams"]]
    return {"game": game, **{key: head[key] for key in same}, "teams": teams}


def _named(games: Games, wanted: Iterable[str]) -> dict[tuple[str, str], dict[str, str]]:
    """What a game and a team are called, for people."""
    found = {}
    for game in wanted:
        said = _game(games, game)
        when = {"kickoff": said["kickoff"], "kickoff_local": said["kickoff_local"]}
        for one in said["teams"]:
            found[game, one["team"]] = when | {"team_name": one["name"]}
    return found


def _each_once(waiting: Iterable[SignedIn]) -> list[SignedIn]:
    """Who waits on several devices stands here once: the code tells which is meant."""
    found: dict[tuple[str, New | None], SignedIn] = {}
    for one in waiting:
        found.setdefault((one.official, one.new), one)
    return list(found.values())


def _person(names: Any, person: SignedIn) -> dict[str, Any]:
    if person.new is None:
        return {"official": person.official, "name": names[person.official]}
    return {"official": person.official, **_new(person.new)}


def _new(new: New) -> dict[str, str]:
    return {"name": new.name, "game": new.game, "team": new.team, "to": new.to}
