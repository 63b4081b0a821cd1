"""What goes back to a browser: JSON, and every error as JSON, in one place.

    {"error": {"code": "refused", "message": "…", "hint": "…"}}

A handler raises `Refusal`, or lets an error of the ledger through; `error_answer` words it.
"""

from __future__ import annotations

from typing import Any

import orjson
from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response

from ledger.actions.asking import AskAboutTextsError, AskDespiteError, AskPassphraseError
from ledger.errors import (
    FolderError,
    IntegrityError,
    LedgerError,
    RuleError,
    StoreError,
    WrongPassphraseError,
)

MOST_BYTES, MOST_WITH_PICTURE = 64 * 1024, 4 * 1024 * 1024
"""Of a request's body: an act is about one kilobyte; a signed paper comes with its picture."""


class Refusal(Exception):  # noqa: N818 - it is an answer
    """An answer that is an error. `more` are further keys of the error."""

    def __init__(
        self, status: int, code: str, message: str, *, hint: str = "", **more: Any
    ) -> None:
        super().__init__(code)
        self.status, self.code, self.message, self.hint = status, code, message, hint
        self.more = more


def wrong_passphrase(error: RuleError) -> Refusal:
    """At the table nobody has a command line: what helps now."""
    if not isinstance(error, WrongPassphraseError):
        return Refusal(422, "wrong_passphrase", error.message, hint=error.hint)
    hint = (
        "Try again, and check capitals. If it is lost, someone can confirm your name, and you "
        "sign the paper list. The registrar can make you a new key."
    )
    return Refusal(422, "wrong_passphrase", "This passphrase does not open your key.", hint=hint)


def answer(content: Any, status: int = 200) -> Response:
    """This content as JSON."""
    return Response(orjson.dumps(content), status, media_type="application/json")


def refused(error: Refusal) -> Response:
    """The refusal as JSON."""
    told = {"code": error.code, "message": error.message, **error.more}
    if error.hint:
        told["hint"] = error.hint
    return answer({"error": told}, error.status)


def refusal_of(error: LedgerError) -> Refusal:
    """An error of the ledger as an answer.

    The ledger's file out of reach is "busy": a device keeps what it has, and tries again.
    """
    message, hint = error.message, error.hint
    match error:
        case AskAboutTextsError():
            questions = [{"column": one.column, "words": one.words} for one in error.questions]
            return Refusal(422, "ask_texts", message, hint=hint, questions=questions)
        case AskDespiteError():
            more = {"codes": error.codes, "lines": error.lines(None)}
            return Refusal(422, "ask_despite", error.heading, hint=hint, **more)
        case AskPassphraseError():
            return Refusal(422, "ask_passphrase", message, hint=hint)
        case FolderError():
            said = [
                f"{one.column}: found {one.found}; expected {one.right}" for one in error.faults
            ]
            return Refusal(422, "refused", "\n".join(said))
        case StoreError():
            return Refusal(503, "busy", message, hint=hint)
        case IntegrityError():
            return Refusal(500, "damaged", message, hint=hint)
    return Refusal(422, "refused", message, hint=hint)


def most_bytes(path: str) -> int:
    """How long a body may be that is sent to this path."""
    return MOST_WITH_PICTURE if path.endswith("/ink") else MOST_BYTES


async def read_json(request: Request) -> dict[str, Any]:
    """The JSON object of a request's body; a Refusal for anything else."""
    body = bytearray()
    try:
        async for chunk in request.stream():
            body += chunk
            if len(body) > most_bytes(request.url.path):
                raise Refusal(413, "too_large", "This is too much at once.")
        content = orjson.loads(bytes(body))
    except orjson.JSONDecodeError:
        raise Refusal(400, "not_json", "The request is not JSON.") from None
    except ClientDisconnect:
        raise Refusal(400, "cut_off", "The connection ended.") from None
    if not isinstance(content, dict):
        raise Refusal(400, "not_json", "The request is not a JSON object.")
    return content
