"""What the page may send: a model for each body, and for what stands after the "?".

The server reads with these, and the schema at /api/schema.json is made of them.
"""

from __future__ import annotations

import datetime
from typing import Annotated, Literal, TypeVar

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    StringConstraints,
    ValidationError,
    WithJsonSchema,
)
from starlette.requests import Request

from ledger.field.answers import Refusal, read_json
from ledger.record.fields import COLUMNS
from ledger.record.times import is_utc_text

Model = TypeVar("Model", bound=BaseModel)

OWN_COLUMNS = tuple(column for column in COLUMNS if column not in ("game", "by", "entered"))
"""What an entry says itself; its act says the rest."""
LONGEST_TEXT = 4000
MOST_ENTRIES = 30
"""One set of plays: eleven children who go out, eleven who come in, and the count of all."""


def _utc(text: str) -> str:
    if not is_utc_text(text):
        raise ValueError("not a time such as 2026-09-05T13:41:22.000Z")
    return text


Name = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9._-]{0,63}$")]
"""An id of the ledger."""
_UNSEEN = r"\x00-\x1f\x7f-\x9f\u200b\u200e\u200f\u2028-\u202e\u2060-\u2069\ufeff"
"""Controls, and letters that show as nothing or turn the text around them."""
PersonName = Annotated[
    str,
    StringConstraints(
        strip_whitespace=True, min_length=2, max_length=80, pattern=rf"^[^{_UNSEEN}]+$"
    ),
]
Code = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=20)]
Passphrase = Annotated[str, StringConstraints(min_length=1, max_length=1000)]
Base64 = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9+/]{86}==$")]
"""A signature, of 64 bytes."""
KeyLine = Annotated[
    str, StringConstraints(pattern=r"^[^\s+]{1,400}\+[0-9a-f]{8}\+[A-Za-z0-9+/]{44}$")
]
PhoneCode = Annotated[str, StringConstraints(min_length=8, max_length=20)]
DeviceName = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]{8,32}$")]
ActName = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]{8,32}-[1-9][0-9]{0,8}$")]
Column = Annotated[str, StringConstraints(pattern=rf"^({'|'.join(OWN_COLUMNS)})$")]
Cell = Annotated[str, StringConstraints(max_length=LONGEST_TEXT)]
Counts = dict[Name, Annotated[int, Field(ge=0, le=9999)]]
_HEAD = r"[A-Za-z0-9][A-Za-z0-9._-]{0,63}:[1-9][0-9]{0,14}"
_SINCE = rf"^({_HEAD}(,{_HEAD}){{0,30}})?$"
_ANY_DAY = r"^20\d\d-(0[1-9]|1[0-2])-(0[1-9]|1\d|2[0-8])T([01]\d|2[0-3]):[0-5]\d:[0-5]\d\.\d{3}Z$"
Utc = Annotated[str, AfterValidator(_utc), WithJsonSchema({"type": "string", "pattern": _ANY_DAY})]


class Body(BaseModel):
    """JSON as it is sent: no value becomes another type, no key is unknown."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)


class SignIn(Body):
    """With the signature of a phone's key, or a passphrase; without either, somebody confirms."""

    official: Name
    passphrase: Passphrase | None = None
    signature: Base64 | None = None


class NewHere(Body):
    """Somebody new, or somebody known who has no role in this game: `official` in place of a name.

    They say that they coach neither team of it.
    """

    name: PersonName | None = None
    official: Name | None = None
    game: Name
    team: Name
    to: Literal["weighmaster", "play_counter"]
    coaches_neither: Literal[True]


class Confirm(Body):
    """With the code of the one to be confirmed, or that of the server's terminal.

    `by`: who on this device confirms, where several may.
    """

    official: Name
    code: Code | None = None
    terminal: Code | None = None
    by: Name | None = None


class SignOut(Body):
    """One person, or everyone on this device."""

    official: Name | None = None


class Revoke(Body):
    """One person of a session, or everyone."""

    session: Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9_-]{12}$")]
    official: Name | None = None


class Phone(Body):
    """The public half of a key that a phone made, and its proof that it has the other."""

    official: Name
    key: KeyLine
    proof: Base64


class ConfirmPhone(Body):
    """The code that the phone shows, and who confirms it: with a passphrase if they have a key.

    `official`: whose phone it must be, as the one who confirms believes.
    """

    code: PhoneCode
    official: Name | None = None
    by: Name
    passphrase: Passphrase | None = None


class Witness(Body):
    """The line with which a phone cosigns a checkpoint: "— NAME BASE64"."""

    line: Annotated[str, StringConstraints(min_length=1, max_length=1000)]


class Act(Body):
    """What one tap states: entries that are recorded all or none.

    An entry's `ref` is ACT.N, counted from 1. `clock` is the device's as it sends, `held` how many
    acts of each game the device still has. `fine`: its texts were asked about, and stay. `entered`:
    when it was typed in from paper, on which its entries stood before.
    """

    act: ActName
    by: Name
    game: Name | None = None
    entries: tuple[dict[Column, Cell | None], ...] = Field(
        min_length=1, max_length=MOST_ENTRIES, strict=False
    )
    clock: Utc | None = None
    entered: Utc | None = None
    fine: bool = False
    held: Counts | None = Field(default=None, max_length=50)


class Holding(Body):
    """How many acts of each game a device still has."""

    device: DeviceName
    held: Counts = Field(max_length=50)


class DayAsked(BaseModel):
    """A day, by its date in the league's time zone."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    date: datetime.date | None = None


class GameAsked(BaseModel):
    """What the page has already: entries up to a position, and a head."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    after: Annotated[int, Field(ge=0, le=10**9)] = 0
    edition: Annotated[str, StringConstraints(max_length=64)] = ""


class OfficialAsked(BaseModel):
    """Whose key."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    official: Name


class HeadsAsked(BaseModel):
    """The lengths of chains that somebody knows: "office:57,tablet:3"."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    since: Annotated[str, StringConstraints(max_length=2000, pattern=_SINCE)] = ""

    @property
    def sizes(self) -> dict[str, int]:
        """The lengths by chain."""
        parts = (one.partition(":") for one in self.since.split(",") if one)
        return {chain: int(size) for chain, _, size in parts}


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
        return model.model_validate_strings(dict(request.query_params), strict=True)
    except ValidationError as error:
        raise _not_understood(error) from None


def _not_understood(error: ValidationError) -> Refusal:
    first = error.errors(include_url=False, include_context=False, include_input=False)[0]
    where = ".".join(str(part)[:40] for part in first["loc"] if part != "[key]")
    says = first["msg"].removeprefix("Value error, ")
    return Refusal(400, "not_understood", f"{where}: {says}" if where else says)
