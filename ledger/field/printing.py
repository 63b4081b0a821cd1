"""Pages that a browser prints: the papers of `weighbook print`, without its typesetter.

    /print/list/GAME/TEAM   /print/blank-list/TEAM   /print/blank-list/GAME/TEAM   /print/card/GAME
    /print/play-count/TEAM  /print/play-count/GAME/TEAM   /print/receipt/EVENT

They hold names, so no cache keeps them. A refusal is a page too: a person asked for it.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from ledger.derive.scope import next_game
from ledger.field.admitting import admit
from ledger.field.answers import Refusal
from ledger.field.desk import desk_of
from ledger.field.guard import device_of
from ledger.field.rights import READ_GAME
from ledger.field.shell import PRINTED_BAND, build, environment
from ledger.papers.press.browser import font_file, page_of, style_of
from ledger.papers.press.heads import Heads
from ledger.papers.sheets.documents import DOCUMENTS
from ledger.store.store import Store

PATH = "/print/"
_PAPERS = {one.command: one for one in DOCUMENTS}
_KEPT = {"Cache-Control": "public, max-age=604800"}
"""Of fonts: the same files for everybody."""


async def get_paper(request: Request) -> Response:
    """A paper, ready to print."""
    html = await _paper(request)
    return HTMLResponse(with_band(html) if desk_of(request).is_practice else html)


async def get_style(request: Request) -> Response:
    """The style of a paper's page."""
    style = style_of(request.path_params["document"])
    if style is None:
        raise Refusal(404, "not_found", "There is no such file.")
    return Response(style, media_type="text/css", headers={"Cache-Control": "no-cache"})


async def get_font(request: Request) -> Response:
    """A font of the papers."""
    path = font_file(request.path_params["name"])
    if path is None:
        raise Refusal(404, "not_found", "There is no such file.")
    return Response(path.read_bytes(), media_type="font/ttf", headers=_KEPT)


ROUTES = [
    Route("/print/style/{document}.css", get_style),
    Route("/print/receipt/{event}", get_paper, name="receipt"),
    Route("/print/list/{game}/{team}", get_paper, name="list"),
    Route("/print/blank-list/{team}", get_paper, name="blank-list"),
    Route("/print/blank-list/{game}/{team}", get_paper, name="blank-list"),
    Route("/print/play-count/{team}", get_paper, name="play-count"),
    Route("/print/play-count/{game}/{team}", get_paper, name="play-count"),
    Route("/print/card/{game}", get_paper, name="card"),
    Route("/fonts/{name}", get_font),
]


def with_band(html: str) -> str:
    """A page of a practice, which nobody takes for a paper of a real game."""
    style = f'<link rel="stylesheet" href="/static/{build().version}/{PRINTED_BAND}">\n</head>'
    band = '<p class="practice-band">PRACTICE. Nothing here counts.</p>\n<main'
    return html.replace("</head>", style, 1).replace("<main", band, 1)


def refused_page(refusal: Refusal) -> Response:
    """A refusal, for a person to read."""
    page = environment().get_template("refused.html")
    said = {"message": refusal.message, "hint": refusal.hint, "version": build().version}
    return HTMLResponse(page.render(said), refusal.status)


async def _paper(request: Request) -> str:
    desk, device = desk_of(request), device_of(request)
    command = request.url.path.split("/")[2]
    arguments = {key: str(text) for key, text in request.path_params.items()}
    game = await desk.read(_game_of, arguments)
    admit(device, READ_GAME, game)
    team = arguments.get("team")
    if team is not None:
        arguments["game"] = game
    return await desk.read(partial(_page, command=command, arguments=arguments))


def _game_of(store: Store, arguments: Mapping[str, str]) -> str:
    """Which game the paper is about."""
    if event := arguments.get("event"):
        return str(store.event(event).game)
    return arguments.get("game") or next_game(store, arguments["team"])


def _page(store: Store, *, command: str, arguments: Mapping[str, str]) -> str:
    sheet = _PAPERS[command].make(Heads(store), arguments)
    return page_of(sheet, script=f"/static/{build().version}/print.js")
