"""Codes, times and hashes as a volunteer reads them.

The words are filters of the templates. Every code is one of the answers' or of league.toml;
another one raises ReportError. Zones come from the `tzdata` package, never from the machine,
so that a paper printed anywhere says the same.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from types import MappingProxyType

from ledger.errors import ReportError
from ledger.record.times import moment_of, zone

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

REASONS = MappingProxyType(
    {
        "over": "Over the carrier limit",
        "absent": "Absent",
        "injured": "Injured",
        "equipment": "Gear not complete",
        "other": "Other reason",
    }
)
MAY_PLAY = MappingProxyType(
    {
        "full": "Plays the whole game",
        "second_half": "Plays second half only",
        "none": "Does not play",
    }
)
MAY_CARRY = MappingProxyType(
    {
        "yes": "May carry the ball",
        "no": "Does not carry the ball",
        "undecided": "Carrying not decided",
    }
)
BASES = MappingProxyType(
    {
        "none": "not weighed",
        "declared": "as the own side declared",
        "scale": "by the scale",
        "late_scale": "by the scale, weighed late",
        "book": "by the book, no usable scale",
        "ruling": "by a ruling",
    }
)
FIRST_TO_WEIGH = MappingProxyType(
    {
        "visitors": "The visitors weigh first.",
        "home": "The home team weighs first.",
        "either": "Either team may weigh first.",
    }
)
LATE_PLAYERS = MappingProxyType(
    {
        "second_half": "Weighed late, before the first half ends: plays the second half.",
        "whole_game": "Weighed late, before the first half ends: plays from then on.",
        "none": "Weighed late: does not play.",
    }
)
HOW_SIGNED = MappingProxyType(
    {
        "key": "Signed with a key",
        "device": "Signed on a device",
        "ink": "Signed in ink, scan kept",
        "sheet": "Signed on the sheet",
    }
)
POUND_KG = Decimal("0.45359237")
PRESENTS = "Presented for our team, as it stands."
RECEIVES = "Read and received, as it stands."


def _word(words: Mapping[str, str], code: str, what: str) -> str:
    try:
        return words[code]
    except KeyError:
        raise ReportError(
            f"{code!r} is no {what}", hint=f"A {what} is one of: {', '.join(words)}."
        ) from None


def reason(code: str) -> str:
    """Why somebody is on the list."""
    return _word(REASONS, code, "reason of a listing")


def may_play(code: str) -> str:
    return _word(MAY_PLAY, code, "value of may_play")


def may_carry(code: str) -> str:
    return _word(MAY_CARRY, code, "value of may_carry")


def basis(code: str) -> str:
    """What decided may_carry."""
    return _word(BASES, code, "basis")


def how_signed(code: str) -> str:
    """How a signature was given."""
    return _word(HOW_SIGNED, code, "way to sign")


def first_to_weigh(code: str) -> str:
    return _word(FIRST_TO_WEIGH, code, "value of first_to_weigh")


def late_players(code: str) -> str:
    return _word(LATE_PLAYERS, code, "value of late_players")


def attempts(count: int) -> str:
    return "One weigh for each player." if count == 1 else f"Up to {count} weighs for each player."


def upper_first(text: str) -> str:
    """As it begins a sentence."""
    return text[:1].upper() + text[1:]


def lower_first(text: str) -> str:
    """As it stands within a sentence."""
    return text[:1].lower() + text[1:]


def jersey(number: int | None) -> str:
    return "–" if number is None else str(number)


def pounds(clb: int) -> str:
    """Hundredths of a pound, as text: 10550 → "105.5 lb"."""
    whole, part = divmod(clb, 100)
    return f"{whole}.{part:02d}".rstrip("0").rstrip(".") + " lb"


def kilograms(clb: int) -> str:
    """Hundredths of a pound in kilograms, to a tenth: 10500 → "47.6 kg".

    A pound is 0.45359237 kg exactly (NIST, quoted). For reading only: limits are set in pounds.
    """
    return f"{(Decimal(clb) * POUND_KG / 100).quantize(Decimal('0.1'))} kg"


def short_hash(digits: str) -> str:
    """The first 16 of 64 hex digits, in fours, as people compare them."""
    return " ".join(digits[start : start + 4] for start in range(0, 16, 4))


def grouped(digits: str) -> str:
    """All hex digits, in eights."""
    return " ".join(digits[start : start + 8] for start in range(0, len(digits), 8))


def _clock(when: datetime) -> str:
    half = "AM" if when.hour < 12 else "PM"
    return f"{when.hour % 12 or 12}:{when.minute:02d} {half}"


def local_date(utc: str, zone_name: str) -> str:
    """`Sat, Sep 5, 2026`."""
    when = moment_of(utc).astimezone(zone(zone_name))
    return f"{DAYS[when.weekday()]}, {MONTHS[when.month - 1]} {when.day}, {when.year}"


def local_clock(utc: str, zone_name: str) -> str:
    """`8:41 AM CDT`: with the zone's letters, for an hour may come twice."""
    when = moment_of(utc).astimezone(zone(zone_name))
    return f"{_clock(when)} {when.tzname()}"


def local_time(utc: str, zone_name: str) -> str:
    """`Sat, Sep 5, 2026, 8:41 AM CDT`."""
    return f"{local_date(utc, zone_name)}, {local_clock(utc, zone_name)}"


def time_beside(other: str, utc: str, zone_name: str) -> str:
    """The local time of `utc`; without its date, where that is the other moment's too."""
    same_day = local_date(utc, zone_name) == local_date(other, zone_name)
    return (local_clock if same_day else local_time)(utc, zone_name)
