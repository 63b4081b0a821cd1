"""Times (FORMAT.md, section 2): text in, fixed-width UTC text out, by no zone of the machine.

Zones come from the `tzdata` package, so that the same folder gives the same bytes everywhere.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta, timezone
from functools import cache, lru_cache
from importlib import resources
from time import time_ns
from zoneinfo import ZoneInfo

from ledger.suggest import did_you_mean

FULL = re.compile(
    r"(\d{4})-(\d\d)-(\d\d)[T ](\d\d):(\d\d)(?::(\d\d)(?:\.(\d+))?)?(Z|[+-]\d\d:\d\d)?", re.ASCII
)
FORM = "a time such as 2026-09-05 08:41:22 (an offset such as -05:00 or Z may follow)"
_ONE_DIGIT = re.compile(r"\d{4}-\d\d?-\d\d?[T ]\d\d?:\d\d\b.*", re.ASCII | re.DOTALL)
_TWO_DIGITS = f"{FORM}. Write month, day and hour with two digits, such as 09:00"
_DATE_ALONE = re.compile(r"\d{4}-\d\d?-\d\d?", re.ASCII)
_NO_CLOCK = f"{FORM}. The time of day is missing"
_REWRITTEN = re.compile(r"\d{1,2}[/.-]\d{1,2}[/.-]\d{2,4}\b.*", re.ASCII | re.DOTALL)
_REWROTE = (
    f"{FORM}. A spreadsheet program rewrote this time: set the column's format to text, or to "
    "yyyy-mm-dd hh:mm:ss, correct it, and save the file again"
)
_IN_AMERICA = {
    "America/New_York": ("eastern", "et", "est", "edt"),
    "America/Chicago": ("central", "ct", "cst", "cdt"),
    "America/Denver or America/Phoenix": ("mountain", "mt", "mst", "mdt"),
    "America/Los_Angeles": ("pacific", "pt", "pst", "pdt"),
}
"""What people call these zones. In tzdata, EST and MST are zones without summer time."""
_NEARLY = ((_REWRITTEN, _REWROTE), (_ONE_DIGIT, _TWO_DIGITS), (_DATE_ALONE, _NO_CLOCK))


@cache
def zone_names() -> frozenset[str]:
    """The names of time zones, as the tzdata package lists them."""
    text = (resources.files("tzdata") / "zones").read_text(encoding="utf-8")
    return frozenset(text.split())


@cache
def zone(name: str) -> ZoneInfo:
    """The zone of that name, e.g. "America/Chicago"; ValueError when there is none."""
    if name not in zone_names():
        raise ValueError(f"no time zone {name!r}")
    with (resources.files("tzdata.zoneinfo").joinpath(*name.split("/"))).open("rb") as file:
        return ZoneInfo.from_file(file, key=name)


def find_zone(text: str) -> str:
    """The name of a zone that a person types, "chicago" too; ValueError says what to expect.

    >>> find_zone("Central time")
    Traceback (most recent call last):
    ValueError: the zone's full name. Did you mean America/Chicago?
    """
    names = zone_names()
    wanted = text.strip().replace(" ", "_").casefold()
    said = wanted.partition("_")[0]
    if meant := next((zones for zones, words in _IN_AMERICA.items() if said in words), ""):
        raise ValueError(f"the zone's full name. Did you mean {meant}?")
    places = {name: name.rpartition("/")[2] for name in names}
    known = [name for name in names if name.casefold() == wanted]
    known = known or [name for name, place in places.items() if place.casefold() == wanted]
    if len(known) == 1:
        return known[0]
    meant = did_you_mean(text, {*places, *places.values()})
    raise ValueError(f"a time zone such as America/Chicago. {meant}".strip())


def parse_time(text: str, local: ZoneInfo) -> str:
    """UTC text of a time; without an offset it is local. Further digits than ms are dropped.

    Raises ValueError with what would be right. RFC 3339 section 5.6, less leap seconds.
    """
    match = FULL.fullmatch(text)
    if not match:
        raise ValueError(next((said for form, said in _NEARLY if form.fullmatch(text)), FORM))
    year, month, day, hour, minute = (int(part) for part in match.groups()[:5])
    fraction = ((match[7] or "") + "000")[:3]
    try:
        plain = datetime(year, month, day, hour, minute, int(match[6] or 0), int(fraction) * 1000)
    except ValueError:
        raise ValueError("a calendar date and a time from 00:00:00 to 23:59:59") from None
    try:
        moment = _with_offset(plain, match[8]) if match[8] else _localized(plain, local)
        moment.astimezone(local)  # reports show it there
        return format_utc(moment)
    except OverflowError:
        raise ValueError(f"a time in the years 1 to 9999, in UTC and in {local.key}") from None


def format_utc(moment: datetime) -> str:
    """A moment as fixed-width UTC text, to the millisecond."""
    utc = moment.astimezone(UTC).replace(tzinfo=None)
    return utc.isoformat(timespec="milliseconds") + "Z"


def moment_of(text: str) -> datetime:
    """The moment of fixed-width UTC text."""
    return datetime.fromisoformat(text)


def is_utc_text(text: str) -> bool:
    """Whether it is fixed-width UTC text."""
    try:
        return format_utc(moment_of(text)) == text
    except (ValueError, OverflowError):
        return False


def local_date(text: str, zone_name: str) -> str:
    """The local calendar date (YYYY-MM-DD) of fixed-width UTC text in that zone."""
    return moment_of(text).astimezone(zone(zone_name)).date().isoformat()


def now_utc() -> str:
    """The machine's clock as fixed-width UTC text."""
    second, rest = divmod(time_ns(), 10**9)
    return f"{_second(second)}.{rest // 10**6:03d}Z"


@lru_cache(maxsize=1)
def _second(second: int) -> str:
    return datetime.fromtimestamp(second, UTC).replace(tzinfo=None).isoformat()


def _with_offset(plain: datetime, offset: str) -> datetime:
    if offset == "Z":
        return plain.replace(tzinfo=UTC)
    hours, minutes = int(offset[1:3]), int(offset[4:6])
    if hours > 23 or minutes > 59:
        raise ValueError("an offset from -23:59 to +23:59")
    shift = timedelta(hours=hours, minutes=minutes)
    return plain.replace(tzinfo=timezone(-shift if offset[0] == "-" else shift))


def _localized(plain: datetime, local: ZoneInfo) -> datetime:
    first, second = plain.replace(tzinfo=local, fold=0), plain.replace(tzinfo=local, fold=1)
    if first.utcoffset() == second.utcoffset():
        return first
    # PEP 495: in a gap the earlier fold has the smaller offset, in an overlap the larger.
    skipped = (first.utcoffset() or timedelta()) < (second.utcoffset() or timedelta())
    what = "does not exist" if skipped else "occurs twice"
    raise ValueError(f"this local time with its offset: it {what} in {local.key}")
