"""league.toml: the rules of this league, this season (FORMAT.md, section 4), with their defaults.

The resolved rules (defaults written out) become the data of one event, so that a later default
cannot change an old season. Pounds become whole hundredths.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Annotated, Any, Literal, Self

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError

from ledger.errors import Fault
from ledger.record.accepted import Accepted
from ledger.record.fields import Role, Text, misfit
from ledger.record.reading import Place, build
from ledger.record.times import zone_names

FILE = "league.toml"
LONGEST_CARD_LINE = 120
_MOST_POUNDS = 10**7


def _hundredths(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        raise PydanticCustomError(
            "wrong", "pounds: a number with at most two decimals, such as 10.0"
        )
    # The range first: then no exponent is too large for the rest.
    if not (Decimal(value).is_finite() and 0 <= value < _MOST_POUNDS):
        raise PydanticCustomError("wrong", "pounds of 0 or more, such as 10.0")
    rounded = Decimal(value).quantize(Decimal("0.01"))
    if rounded != value:
        raise PydanticCustomError("wrong", "pounds with at most two decimals, such as 10.25")
    return int(rounded * 100)


def _date(value: Any) -> str:
    text = value.isoformat() if hasattr(value, "isoformat") else value
    if not isinstance(text, str) or not re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        raise PydanticCustomError("wrong", "a date such as 2026-10-01")
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError:
        raise PydanticCustomError("wrong", "a calendar date such as 2026-10-01") from None


def _zone(value: str) -> str:
    if value not in zone_names():
        raise PydanticCustomError("wrong", "a time zone such as America/Chicago")
    return value


Pounds = Annotated[int, BeforeValidator(_hundredths)]
Weight = Annotated[Pounds, Field(gt=0)]
Date = Annotated[str, BeforeValidator(_date)]
DateOrNone = Annotated[str, BeforeValidator(lambda value: value if value == "" else _date(value))]
Whole = Annotated[int, Field(ge=0, le=100_000)]


class _Table(BaseModel):
    model_config = ConfigDict(frozen=True, strict=True, extra="forbid", defer_build=True)


class _League(_Table):
    name: Text
    season: Text
    time_zone: Annotated[str, AfterValidator(_zone)]


class _Allowance(_Table):
    from_: Annotated[Date, Field(alias="from")]
    lb: Pounds


class _WeighIn(_Table):
    opens_before_kickoff_min: Whole = 30
    first_to_weigh: Literal["visitors", "home", "either"] = "visitors"
    attempts: Annotated[int, Field(ge=1, le=2)] = 1
    late_players: Literal["second_half", "whole_game", "none"] = "second_half"
    check_weight_lb: Weight = 1000
    scale_division_lb: Weight = 50
    max_weighmasters_per_team: Whole = 2
    entered_late_after_min: Whole = 30
    declared_over_may_skip_scale: bool = False
    training_valid_days: Annotated[int, Field(ge=0, le=36_500)] = 0
    limit_allowance: list[_Allowance] = []

    @model_validator(mode="after")
    def _one_allowance_a_date(self) -> Self:
        dates = [step.from_ for step in self.limit_allowance]
        if len(set(dates)) < len(dates):
            raise misfit("limit_allowance", "one allowance per date")
        return self


class _Step(_Table):
    minimum: Whole
    up_to: Whole | None = None


class _Plays(_Table):
    minimum: Whole | None = None
    by_squad_size: list[_Step] | None = None

    @model_validator(mode="after")
    def _one_of_both(self) -> Self:
        if self.minimum is not None and self.by_squad_size is not None:
            raise misfit("minimum", "minimum or by_squad_size, not both")
        if self.by_squad_size is not None:
            tops = [step.up_to for step in self.by_squad_size]
            rising = [top for top in tops[:-1] if top is not None]
            if not tops or tops[-1] is not None or len(rising) < len(tops) - 1:
                right = "steps with up_to, then one last step without it"
                raise misfit("by_squad_size", right)
            if rising != sorted(set(rising)):
                raise misfit("by_squad_size", "steps with rising up_to values")
        return self


Reviewers = Annotated[list[Role], Field(min_length=1)]


class _Reviews(_Table):
    roster: Reviewers = ["association_president", "division_president"]
    other: Reviewers = ["site_official", "head_official", "division_president"]
    protest_within_hours: Whole = 48
    decide_within_days: Whole = 7


def _card_line(value: str) -> str:
    if not 0 < len(value) <= LONGEST_CARD_LINE or value.splitlines() != [value] or "\0" in value:
        right = f"a line of 1 to {LONGEST_CARD_LINE} characters, without a line break"
        raise PydanticCustomError("wrong", right)
    return value


CardLines = list[Annotated[str, AfterValidator(_card_line)]]


class _Card(_Table):
    """The league's own words on the weighmasters' card."""

    gear: CardLines = []
    shoes: CardLines = []
    stripe: CardLines = []
    distance: CardLines = []


class _Privacy(_Table):
    keep_personal_until: DateOrNone = ""


class Rules(_Table):
    """A whole league.toml. Pounds are whole hundredths; dates are YYYY-MM-DD."""

    league: _League
    weigh_in: _WeighIn = _WeighIn()
    plays: _Plays = _Plays()
    reviews: _Reviews = _Reviews()
    card: _Card = _Card()
    privacy: _Privacy = _Privacy()


def read_league(text: str) -> tuple[Accepted | None, list[Fault]]:
    """The league of a league.toml's text, or every fault in it."""
    try:
        given = tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        where = re.search(r"at line (\d+)", str(error))
        place = Place(FILE, int(where[1]) if where else text.count("\n") + 1)
        return None, [place.fault("", f"invalid TOML ({error})", "TOML such as minimum = 10")]
    except (ValueError, ArithmeticError, RecursionError):  # of int, Decimal and deep nesting
        found = "a number that is too long, or brackets nested too deeply"
        return None, [Place(FILE).fault("", found, "TOML such as minimum = 10")]
    rules, faults = build(Rules, given, Place(FILE), {})
    if rules is None:
        return None, [_with_line(fault, text) for fault in faults]
    return Accepted("league", _data(rules)), []


def _data(rules: Rules) -> dict[str, Any]:
    weigh_in = rules.weigh_in.model_dump(exclude={"check_weight_lb", "scale_division_lb"})
    weigh_in["check_weight_clb"] = rules.weigh_in.check_weight_lb
    weigh_in["scale_division_clb"] = rules.weigh_in.scale_division_lb
    weigh_in["limit_allowance"] = [
        {"from": step.from_, "clb": step.lb}
        for step in sorted(rules.weigh_in.limit_allowance, key=lambda step: step.from_)
    ]
    plays = rules.plays.model_dump(exclude_none=True) or {"minimum": 10}
    return rules.league.model_dump() | {
        "weigh_in": weigh_in,
        "plays": plays,
        "reviews": rules.reviews.model_dump(),
        "card": rules.card.model_dump(),
        "privacy": rules.privacy.model_dump(),
    }


def _with_line(fault: Fault, text: str) -> Fault:
    """The fault with the line on which its key (or else the table it is in) stands."""
    for key in reversed(fault.column.split(".")):
        pattern = re.compile(rf"[ \t]*\[?{re.escape(key)}\b")
        lines = [number for number, line in enumerate(text.split("\n"), 1) if pattern.match(line)]
        if len(lines) == 1 and not key.isdigit():
            return replace(fault, line=lines[0])
    return fault
