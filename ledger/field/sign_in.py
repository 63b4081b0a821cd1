"""Signing in and out, confirming, and ending sessions, over HTTP: `ledger.field.people` decides."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ledger.actions.officials import Officials
from ledger.field.answers import Refusal, answer
from ledger.field.bodies import Confirm, Revoke, SignIn, SignOut, read_body
from ledger.field.days import games_shown_first
from ledger.field.desk import desk_of
from ledger.field.device import Device
from ledger.field.guard import address_of, device_of, set_cookie
from ledger.field.rights import READ_GAME, SEE_SESSIONS, may
from ledger.field.sessions import SignedIn
from ledger.record.times import format_utc
from ledger.say.names import initials_of


async def get_me(request: Request) -> Response:
    """Who is signed in on this device, and the token for what it posts."""
    return _me(request, device_of(request))


async def get_officials(request: Request) -> Response:
    """Everyone who can sign in; first those with a role in a game of the day."""
    officials = device_of(request).officials
    games = await desk_of(request).ask(games_shown_first)
    listed = [
        {
            "official": one,
            "name": officials.names[one],
            "roles": sorted({held.role for held in officials.roles[one] if held.has_authority}),
            "has_key": bool(officials.key_games(one)),
            "is_today": any(may(officials, one, READ_GAME, game) for game in games),
        }
        for one, roles in officials.roles.items()
        if any(held.has_authority for held in roles)
    ]
    listed.sort(key=lambda one: (not one["is_today"], one["name"], one["official"]))
    return answer(listed)


async def post_sign_in(request: Request) -> Response:
    """With the passphrase of a key, or to be confirmed."""
    said = await read_body(request, SignIn)
    device = await desk_of(request).people.sign_in(
        device_of(request), said.official, said.passphrase, address_of(request)
    )
    return _me(request, device)


async def post_confirm(request: Request) -> Response:
    """By the code of the one to be confirmed, or of the server's terminal."""
    said = await read_body(request, Confirm)
    device, people, address = device_of(request), desk_of(request).people, address_of(request)
    if said.terminal is not None:
        people.confirm_by_terminal(device, said.official, said.terminal, address)
    elif said.code is not None:
        people.confirm_by_code(device, said.official, said.code, address)
    else:
        raise Refusal(400, "not_understood", "Type a code.")
    return _me(request, people.device(device.cookie))


async def post_sign_out(request: Request) -> Response:
    """One person on this device, or everyone."""
    said = await read_body(request, SignOut)
    return _me(request, desk_of(request).people.sign_out(device_of(request), said.official))


async def get_sessions(request: Request) -> Response:
    """One's own sessions; everyone's for those who may see them."""
    device, sessions = device_of(request), desk_of(request).people.sessions
    here = sessions.of(device.cookie)
    found = []
    for session in sessions:
        people = [
            _signed_in(device.officials, one)
            for one in session.people
            if device.may(SEE_SESSIONS) or one.official in device.confirmed
        ]
        if people:
            is_here = here is not None and here.name == session.name
            found.append({"session": session.name, "is_here": is_here, "people": people})
    return answer(found)


async def post_revoke(request: Request) -> Response:
    """End a session, or one person's part of it."""
    said = await read_body(request, Revoke)
    device, people = device_of(request), desk_of(request).people
    people.revoke(device, said.session, said.official, all_may=device.may(SEE_SESSIONS))
    return _me(request, people.device(device.cookie))


ROUTES = [
    Route("/api/me", get_me),
    Route("/api/officials", get_officials),
    Route("/api/sign-in", post_sign_in, methods=["POST"]),
    Route("/api/confirm", post_confirm, methods=["POST"]),
    Route("/api/sign-out", post_sign_out, methods=["POST"]),
    Route("/api/sessions", get_sessions),
    Route("/api/sessions/revoke", post_revoke, methods=["POST"]),
]


def _me(request: Request, device: Device) -> Response:
    desk = desk_of(request)
    place = desk.setting.place
    said = {
        "people": [_person(device.officials, one) for one in device.people],
        "token": desk.people.sessions.token(device.cookie),
        "mode": "proxy" if place.is_secure else "loopback",
    }
    response = answer(said)
    set_cookie(response, place, device)
    return response


def _person(officials: Officials, person: SignedIn) -> dict[str, Any]:
    name, roles = officials.names[person.official], officials.roles[person.official]
    held = [{"role": h.role, "team": h.team, "game": h.game} for h in roles if h.has_authority]
    said = {
        "official": person.official,
        "name": name,
        "initials": initials_of(name),
        "is_confirmed": person.is_confirmed,
        "has_key": bool(officials.key_games(person.official)),
        "roles": held,
        "coaches": sorted({h.team for h in roles if h.role == "coach" and h.team}),
    }
    return said | ({"code": person.code} if person.code else {})


def _signed_in(officials: Officials, person: SignedIn) -> dict[str, Any]:
    said = {
        "official": person.official,
        "name": officials.names.get(person.official, person.official),
        "how": person.how,
        "since": _utc(person.since),
        "until": _utc(person.until),
    }
    return said | ({"by": person.by} if person.by else {})


def _utc(seconds: float) -> str:
    return format_utc(datetime.fromtimestamp(seconds, UTC))
