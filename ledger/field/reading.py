"""GET of days, games and devices."""

from __future__ import annotations

import re

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ledger.field.answers import Refusal, answer
from ledger.field.days import day_of
from ledger.field.desk import desk_of
from ledger.field.games import Games
from ledger.field.guard import device_of
from ledger.field.people import Device
from ledger.field.rights import READ_GAME, may

_DATE = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)


async def get_day(request: Request) -> Response:
    """The games of a day: `?date=YYYY-MM-DD`."""
    device, date = signed_in(request), request.query_params.get("date")
    if date is not None and not _DATE.fullmatch(date):
        raise Refusal(400, "not_understood", "'date' is not YYYY-MM-DD.")
    officials = [one.official for one in device.people]
    return answer(await desk_of(request).ask(day_of, date, officials))


async def get_game(request: Request) -> Response:
    """A game's head and its statements: `?after=POSITION&edition=EDITION`."""
    device, asked = signed_in(request), request.query_params
    after = asked.get("after", "0")
    if not (after.isascii() and after.isdigit() and len(after) < 10):
        raise Refusal(400, "not_understood", "'after' is not a position.")
    content = await desk_of(request).ask(
        Games.answer,
        may_read(request, device),
        after=int(after),
        edition=asked.get("edition", ""),
        named=bool(device.confirmed),
    )
    return Response(content, media_type="application/json")


async def get_devices(request: Request) -> Response:
    """What each device of a game still holds."""
    game = may_read(request, signed_in(request))
    return answer(desk_of(request).devices.of_game(game))


def signed_in(request: Request) -> Device:
    """The device that calls; a Refusal if nobody is signed in on it."""
    device = device_of(request)
    if not device.people:
        raise Refusal(401, "signed_out", "Nobody is signed in on this device.")
    return device


def may_read(request: Request, device: Device) -> str:
    """The game that the address names; a Refusal unless someone on the device may read it."""
    game = str(request.path_params["game"])
    if game not in device.officials.sides:
        raise Refusal(404, "unknown_game", "There is no such game here.")
    if not any(may(device.officials, one.official, READ_GAME, game) for one in device.people):
        raise Refusal(403, "not_yours", f"You have no role in {game}.")
    return game


def confirmed_reader(device: Device, game: str) -> None:
    """A Refusal unless someone confirmed on the device may read the game, children's names too."""
    if game not in device.officials.sides:
        raise Refusal(404, "unknown_game", "There is no such game here.")
    if not device.confirmed:
        raise Refusal(403, "to_confirm", "Someone must confirm you first: this shows names.")
    if not device.may(READ_GAME, game):
        raise Refusal(403, "not_yours", f"You have no role in {game}.")


ROUTES = [
    Route("/api/day", get_day),
    Route("/api/games/{game}", get_game),
    Route("/api/games/{game}/devices", get_devices),
]
