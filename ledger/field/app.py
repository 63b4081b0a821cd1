"""The routes, and what every request and every answer must have."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response, StreamingResponse
from starlette.routing import Route

from ledger.errors import LedgerError
from ledger.field import (
    acts,
    ink,
    new_here,
    phones,
    practicing,
    printing,
    reading,
    sign_in,
    signing,
    witnessing,
)
from ledger.field.admitting import admitting
from ledger.field.answers import Refusal, answer, refusal_of, refused
from ledger.field.desk import Desk, desk_of
from ledger.field.faults import Faults
from ledger.field.guard import Guard, device_of
from ledger.field.schema import schema_of_api
from ledger.field.shell import service_worker, shell_html, static_file


def make_app(desk: Desk) -> Starlette:
    """The application of one server."""

    @asynccontextmanager
    async def lifespan(app: Starlette) -> AsyncIterator[None]:
        async with desk.open():
            yield

    app = Starlette(
        routes=admitting(
            [
                Route("/", shell),
                Route("/sw.js", worker),
                Route("/static/{version}/{name:path}", static),
                *sign_in.ROUTES,
                *new_here.ROUTES,
                *acts.ROUTES,
                *reading.ROUTES,
                *signing.ROUTES,
                *ink.ROUTES,
                *phones.ROUTES,
                *witnessing.ROUTES,
                *printing.ROUTES,
                *(practicing.ROUTES if desk.setting.practice is not None else ()),
                Route("/api/news", news),
                Route("/api/schema.json", schema),
            ]
        ),
        middleware=[
            Middleware(Faults),
            Middleware(Guard, place=desk.setting.place, people=desk.people),
            Middleware(Faults),  # so that the answer to a fault gets the guard's headers
        ],
        exception_handlers={
            Refusal: _on_refusal,
            LedgerError: _on_ledger_error,
            HTTPException: _on_http,
        },
        lifespan=lifespan,
    )
    app.router.redirect_slashes = False
    app.state.desk = desk
    return app


async def shell(request: Request) -> Response:
    html = shell_html(practice=desk_of(request).setting.place.practice)
    return HTMLResponse(html, headers={"Cache-Control": "no-cache"})


async def worker(request: Request) -> Response:
    headers = {"Cache-Control": "no-cache"}
    return Response(service_worker(), media_type="text/javascript", headers=headers)


async def static(request: Request) -> Response:
    """A file of this build; its address changes with its bytes, so a browser may keep it."""
    found = static_file(request.path_params["version"], request.path_params["name"])
    if found is None:
        raise Refusal(404, "not_found", "There is no such file.")
    headers = {"Cache-Control": "public, max-age=31536000, immutable", "Vary": "Accept-Encoding"}
    if "gzip" not in request.headers.get("accept-encoding", ""):
        return Response(found.data, media_type=found.type, headers=headers)
    headers["Content-Encoding"] = "gzip"
    return Response(found.packed, media_type=found.type, headers=headers)


async def news(request: Request) -> Response:
    desk, cookie = desk_of(request), device_of(request).cookie
    stream = desk.feed.stream(lambda: bool(desk.people.device(cookie).confirmed))
    headers = {"X-Accel-Buffering": "no"}  # a proxy would wait for more
    return StreamingResponse(stream, media_type="text/event-stream", headers=headers)


async def schema(request: Request) -> Response:
    return answer(schema_of_api())


async def _on_refusal(request: Request, error: Exception) -> Response:
    assert isinstance(error, Refusal)
    return _told(request, error)


async def _on_ledger_error(request: Request, error: Exception) -> Response:
    assert isinstance(error, LedgerError)
    return _told(request, refusal_of(error))


async def _on_http(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    code = {404: "not_found", 405: "wrong_method"}.get(error.status_code, "refused")
    return _told(request, Refusal(error.status_code, code, str(error.detail)))


def _told(request: Request, refusal: Refusal) -> Response:
    """As a page where a person asked for one."""
    is_paper = request.url.path.startswith(printing.PATH)
    return printing.refused_page(refusal) if is_paper else refused(refusal)
