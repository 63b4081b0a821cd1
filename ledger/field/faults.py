"""A fault of ours: the browser gets 500 as JSON, the log the places in the code, and no more."""

from __future__ import annotations

import logging
import traceback
from asyncio import CancelledError
from pathlib import Path

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from ledger.errors import LedgerError
from ledger.field.answers import Refusal, refusal_of, refused

_LOG = logging.getLogger("weighbook")
_MOST_PLACES = 6


class Faults:
    """The middleware. Rejected: Starlette's own, which logs the error's words and values."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        has_begun = False

        async def told(message: Message) -> None:
            nonlocal has_begun
            has_begun = True
            await send(message)

        try:
            await self._app(scope, receive, told)
        except CancelledError:  # the server ends, and this waited too long for another program
            if not has_begun:
                stopping = Refusal(503, "busy", "The server is stopping. Nothing was recorded yet.")
                await refused(stopping)(scope, receive, send)
        except LedgerError as error:  # the guard's; those of handlers are answered before
            if has_begun or scope["type"] != "http":
                raise
            await refused(refusal_of(error))(scope, receive, send)
        except Exception as error:
            if scope["type"] != "http":
                raise
            _LOG.error("a fault: %s", places_of(error))
            if not has_begun:
                said = "Something went wrong here. Nothing is lost: the device keeps what it has."
                await refused(Refusal(500, "fault", said))(scope, receive, send)


def places_of(error: BaseException) -> str:
    """The kind of an error and where it came from: "KeyError at games.py:12, app.py:7"."""
    frames = traceback.extract_tb(error.__traceback__)[-_MOST_PLACES:]
    places = [f"{Path(frame.filename).name}:{frame.lineno}" for frame in reversed(frames)]
    return f"{type(error).__name__} at {', '.join(places)}"
