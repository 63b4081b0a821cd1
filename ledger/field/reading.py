"""GET of days, games and devices."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ledger.field.answers import answer
from ledger.field.bodies import DayAsked, GameAsked, read_query
from ledger.field.days import day_of
from ledger.field.desk import desk_of
from ledger.field.games import Games
from ledger.field.guard import device_of


async def get_day(request: Request) -> Response:
    """The games of a day."""
    asked = read_query(request, DayAsked)
    date = asked.date.isoformat() if asked.date else None
    officials = [one.official for one in device_of(request).people]
    return answer(await desk_of(request).ask(day_of, date, officials))


async def get_game(request: Request) -> Response:
    """A game's head and its statements, but for what the page has."""
    asked, game = read_query(request, GameAsked), str(request.path_params["game"])
    content = await desk_of(request).ask(
        Games.answer, game, after=asked.after, edition=asked.edition
    )
    return Response(content, media_type="application/json")


async def get_devices(request: Request) -> Response:
    """What each device of a game still holds."""
    return answer(desk_of(request).devices.of_game(str(request.path_params["game"])))


ROUTES = [
    Route("/api/day", get_day),
    Route("/api/games/{game}", get_game),
    Route("/api/games/{game}/devices", get_devices),
]
