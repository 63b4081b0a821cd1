"""Field types: how a cell's text becomes a value, and what to expect there.

`COLUMNS` says how to read each column of a day file. The models in `statements` then say which
values a kind allows.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from typing import Annotated, Any, Literal, get_args
from zoneinfo import ZoneInfo

from pydantic import AfterValidator, Field
from pydantic_core import PydanticCustomError

from ledger.chain.event import TIME_TEXT
from ledger.record.times import parse_time

ID_FORM = "an id: 1 to 64 of A-Z a-z 0-9 . _ -, starting with a letter or digit"
UNLISTED = "unlisted-"

Role = Literal[
    "weighmaster", "coach", "play_counter", "site_official", "head_official", "registrar",
    "association_president", "division_president", "board_member",
]  # fmt: skip
ROLES: tuple[str, ...] = get_args(Role)
ROLES_WITH_TEAM = frozenset({"weighmaster", "coach"})

_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,63}")
_UNLISTED_ID = re.compile(r"unlisted-[A-Za-z0-9][A-Za-z0-9._-]{0,131}")
_PLAYER_NUMBER = re.compile(r"0|[1-9][0-9]?")
_WHOLE = re.compile(r"[0-9]{1,9}")
_POUNDS = re.compile(r"[0-9]{1,7}(?:\.[0-9]{1,2})?")
_SHA256 = re.compile(r"[0-9a-fA-F]{64}")
_TARGET = re.compile(_ID.pattern + r"(?::[1-9][0-9]{0,15})?")


def misfit(column: str, right: str) -> PydanticCustomError:
    """Return the error for fields that do not fit together; `column` is the one to fix."""
    return PydanticCustomError("misfit", right, {"column": column})


def is_id(text: str) -> bool:
    """Return whether the text is a valid id."""
    return bool(_ID.fullmatch(text)) and not text.startswith(UNLISTED)


def _new_id(value: str) -> str:
    if value.startswith(UNLISTED):
        raise PydanticCustomError("wrong", "an id that does not begin with unlisted-")
    if not _ID.fullmatch(value):
        raise PydanticCustomError("wrong", ID_FORM)
    return value


def _player_id(value: str) -> str:
    if not (_ID.fullmatch(value) or _UNLISTED_ID.fullmatch(value)):
        raise PydanticCustomError("wrong", ID_FORM)
    return value


def _text(value: str) -> str:
    if not value or "\0" in value:
        raise PydanticCustomError("wrong", "text that is not empty and has no NUL character")
    return value


def _sha256(value: str) -> str:
    if not _SHA256.fullmatch(value):
        raise PydanticCustomError("wrong", "the file's SHA-256: 64 hexadecimal digits")
    return value.lower()


def _target(value: str) -> str:
    if not _TARGET.fullmatch(value):
        right = "the ref of an earlier line, or an event id such as office:57"
        raise PydanticCustomError("wrong", right)
    return value


def _utc(value: str) -> str:
    if not TIME_TEXT.fullmatch(value):
        raise PydanticCustomError("wrong", "fixed-width UTC text")
    return value


Id = Annotated[str, AfterValidator(_new_id)]
PlayerId = Annotated[str, AfterValidator(_player_id)]
Text = Annotated[str, AfterValidator(_text)]
Sha256 = Annotated[str, AfterValidator(_sha256)]
Utc = Annotated[str, AfterValidator(_utc)]
Target = Annotated[str, AfterValidator(_target)]
PlayerNumber = Annotated[int, Field(ge=0, le=99)]
Count = Annotated[int, Field(ge=0, le=999)]
Hundredths = Annotated[int, Field(gt=0, lt=10**9)]
"""Pounds as whole hundredths."""


def parse_number(text: str) -> int:
    """Read a player's number; ValueError says what to expect."""
    if not _PLAYER_NUMBER.fullmatch(text):
        raise ValueError("a whole number from 0 to 99 without leading zeros")
    return int(text)


def parse_whole(text: str) -> int:
    """Read a whole number of 0 or more; ValueError says what to expect."""
    if not _WHOLE.fullmatch(text):
        raise ValueError("a whole number")
    return int(text)


def parse_pounds(text: str) -> int:
    """Read pounds as whole hundredths; ValueError says what to expect."""
    if not _POUNDS.fullmatch(text) or not (value := int(Decimal(text).scaleb(2))):
        raise ValueError("pounds: a number above 0 with at most two decimals, such as 10.05")
    return value


MOST_INITIALS = 6
YEARS = range(2000, 2100)


def over_limit(column: str, text: str) -> str:
    """Return what to expect if a readable cell breaks a limit for new lines only, else ""."""
    if column == "initials" and len(text) > MOST_INITIALS:
        return f"initials of at most {MOST_INITIALS} characters"
    if column in TIME_COLUMNS and int(text[:4]) not in YEARS:
        return f"a year from {YEARS[0]} to {YEARS[-1]}"
    return ""


Parser = Callable[[str, ZoneInfo], Any]


def _same(parse: Callable[[str], Any]) -> Parser:
    return lambda text, local: parse(text)


_AS_TEXT = _same(str)
COLUMNS: dict[str, Parser] = {
    "at": parse_time,
    "entered": parse_time,
    "kind": _AS_TEXT,
    "game": _AS_TEXT,
    "team": _AS_TEXT,
    "player": _AS_TEXT,
    "number": _same(parse_number),
    "name": _AS_TEXT,
    "by": _AS_TEXT,
    "value": _AS_TEXT,
    "reason": _AS_TEXT,
    "half": _same(parse_whole),
    "count": _same(parse_whole),
    "reading": _same(parse_pounds),
    "limit": _same(parse_pounds),
    "initials": _AS_TEXT,
    "case": _AS_TEXT,
    "to": _AS_TEXT,
    "may_play": _AS_TEXT,
    "may_carry": _AS_TEXT,
    "kickoff": parse_time,
    "site": _AS_TEXT,
    "ref": _AS_TEXT,
    "target": _AS_TEXT,
    "note": _AS_TEXT,
}
"""Every column of a day file, in the order of FORMAT.md, section 5."""
TIME_COLUMNS = frozenset({"at", "entered", "kickoff"})
