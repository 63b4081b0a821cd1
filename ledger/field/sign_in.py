"""Signing in and out, and ending sessions, over HTTP: `ledger.field.people` decides."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ledger.actions.officials import Officials
from ledger.field.answers import answer
from ledger.field.bodies import Revoke, SignIn, SignOut, read_body
from ledger.field.days import games_shown_first
from ledger.field.desk import desk_of
from ledger.field.guard import address_of, device_of
from ledger.field.people import has_role
from ledger.field.rights import READ_GAME, SEE_SESSIONS, may
from ledger.field.said_of_me import said_of_me
from ledger.field.sessions import SignedIn
from ledger.record.times import format_utc
from ledger.say.practice_morning import YOU


async def get_me(request: Request) -> Response:
    """Who is signed in on this device, and the token for what it posts."""
    device, desk = device_of(request), desk_of(request)
    if desk.setting.practice is not None and not device.people:
        device = desk.people.sign_in_to_practice(device, YOU)
    return said_of_me(request, device)


async def get_officials(request: Request) -> Response:
    """Everyone who can sign in; first those with a role in a game of the day."""
    officials = device_of(request).officials
    games = await desk_of(request).ask(games_shown_first)
    listed = [
        {
            "official": one,
            "name": officials.names[one],
            "roles": sorted({h.role for h in roles if h.has_authority or h.to_confirm}),
            "has_key": bool(officials.key_games(one)),
            "has_phone_key": bool(officials.key_games(one, on_phone=True)),
            "is_today": any(may(officials, one, READ_GAME, game) for game in games),
        }
        for one, roles in officials.roles.items()
        if has_role(officials, one)
    ]
    listed.sort(key=lambda one: (not one["is_today"], one["name"], one["official"]))
    return answer(listed)


async def post_sign_in(request: Request) -> Response:
    """With the passphrase of a key, with the key of this phone, or to be confirmed."""
    said = await read_body(request, SignIn)
    if said.signature is not None:
        people, origin = desk_of(request).people, request.headers.get("origin", "")
        device = device_of(request)
        signed_in = people.sign_in_with_phone(device, said.official, origin, said.signature)
        return said_of_me(request, signed_in)
    device = await desk_of(request).people.sign_in(
        device_of(request), said.official, said.passphrase, address_of(request)
    )
    return said_of_me(request, device)


async def post_sign_out(request: Request) -> Response:
    """One person on this device, or everyone."""
    said = await read_body(request, SignOut)
    return said_of_me(request, desk_of(request).people.sign_out(device_of(request), said.official))


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
    return said_of_me(request, people.device(device.cookie))


ROUTES = [
    Route("/api/me", get_me),
    Route("/api/officials", get_officials),
    Route("/api/sign-in", post_sign_in, methods=["POST"]),
    Route("/api/sign-out", post_sign_out, methods=["POST"]),
    Route("/api/sessions", get_sessions),
    Route("/api/sessions/revoke", post_revoke, methods=["POST"]),
]


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
