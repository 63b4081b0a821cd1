"""What the page may send: a model for each body, and for what stands after the "?".

The server reads with these, and the schema at /api/schema.json is made of them.
"""

from __future__ import annotations

from typing import Annotated, TypeVar

from pydantic import BaseModel, ConfigDict, Field, StringConstraints, ValidationError
from starlette.requests import Request

from ledger.field.answers import Refusal, read_json
from ledger.record.fields import COLUMNS

Model = TypeVar("Model", bound=BaseModel)

LONGEST_TEXT = 4000
MOST_ENTRIES = 30

Name = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9._-]{0,63}$")]
"""An id of the ledger."""
Code = Annotated[str, StringConstraints(pattern=r"^[0-9]{6}$")]
Passphrase = Annotated[str, StringConstraints(min_length=1, max_length=1000)]
Device = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]{8,32}$")]
ActName = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]{6,32}-[0-9]{1,9}$")]
Cell = Annotated[str, StringConstraints(max_length=LONGEST_TEXT)]
Cells = dict[Annotated[str, StringConstraints(pattern=rf"^({'|'.join(COLUMNS)})$")], Cell]
Held = dict[Name, Annotated[int, Field(ge=0, le=9999)]]


class Body(BaseModel):
    """JSON as it is sent: no value becomes another type, no key is unknown."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)


class SignIn(Body):
    """Without a passphrase, somebody confirms it."""

    official: Name
    passphrase: Passphrase | None = None


class Confirm(Body):
    """With the code of the one to be confirmed, or that of the server's terminal."""

    official: Name
    code: Code | None = None
    terminal: Code | None = None


class SignOut(Body):
    """One person, or everyone on this device."""

    official: Name | None = None


class Revoke(Body):
    """One person of a session, or everyone."""

    session: Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9_-]{12}$")]
    official: Name | None = None


async def read_body(request: Request, model: type[Model]) -> Model:
    """The request's body; a Refusal that names what does not fit, but not what was found there."""
    content = await read_json(request)
    try:
        return model.model_validate(content)
    except ValidationError as error:
        raise _not_understood(error) from None


def read_query(request: Request, model: type[Model]) -> Model:
    """What stands after the "?" of the request's address."""
    try:
        return model.model_validate_strings(dict(request.query_params))
    except ValidationError as error:
        raise _not_understood(error) from None


def _not_understood(error: ValidationError) -> Refusal:
    first = error.errors(include_url=False, include_context=False, include_input=False)[0]
    where = ".".join(str(part)[:40] for part in first["loc"])
    return Refusal(400, "not_understood", f"{where}: {first['msg']}" if where else first["msg"])
