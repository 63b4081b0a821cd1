"""Signing in and out, over HTTP. A simple version: `ledger.field.people` decides."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ledger.actions.game_head import initials_of
from ledger.field.answers import answer
from ledger.field.bodies import Confirm, SignIn, SignOut, read_body
from ledger.field.desk import desk_of
from ledger.field.guard import device_of, set_cookie
from ledger.field.people import Device


async def get_me(request: Request) -> Response:
    return _me(request, device_of(request))


async def get_officials(request: Request) -> Response:
    names = device_of(request).officials.names
    return answer([{"official": one, "name": name} for one, name in sorted(names.items())])


async def post_sign_in(request: Request) -> Response:
    said = await read_body(request, SignIn)
    people = desk_of(request).people
    device = await people.sign_in(
        device_of(request), said.official, said.passphrase, _address(request)
    )
    return _me(request, device)


async def post_confirm(request: Request) -> Response:
    said = await read_body(request, Confirm)
    device, people = device_of(request), desk_of(request).people
    if said.terminal:
        people.confirm_by_terminal(device, said.official, said.terminal, _address(request))
    else:
        people.confirm_by_code(device, said.official, said.code or "", _address(request))
    return _me(request, people.device(device.cookie))


async def post_sign_out(request: Request) -> Response:
    said = await read_body(request, SignOut)
    return _me(request, desk_of(request).people.sign_out(device_of(request), said.official))


ROUTES = [
    Route("/api/me", get_me),
    Route("/api/officials", get_officials),
    Route("/api/sign-in", post_sign_in, methods=["POST"]),
    Route("/api/confirm", post_confirm, methods=["POST"]),
    Route("/api/sign-out", post_sign_out, methods=["POST"]),
]


def _me(request: Request, device: Device) -> Response:
    desk, officials = desk_of(request), device.officials
    people: list[dict[str, Any]] = []
    for one in device.people:
        name, roles = officials.names[one.official], officials.roles[one.official]
        people.append(
            {
                "official": one.official,
                "name": name,
                "initials": initials_of(name),
                "is_confirmed": one.is_confirmed,
                "code": one.code,
                "has_key": bool(officials.key_games(one.official)),
                "roles": sorted({held.role for held in roles}),
                "coaches": sorted({h.team for h in roles if h.role == "coach" and h.team}),
            }
        )
    place = desk.setting.place
    token = desk.people.sessions.token(device.cookie)
    mode = "proxy" if place.is_secure else "loopback"
    response = answer({"people": people, "token": token, "mode": mode, "works": {}})
    set_cookie(response, place, device)
    return response


def _address(request: Request) -> str:
    return request.client.host if request.client else ""
