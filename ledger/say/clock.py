"""Times as people read them: the league's local time with its zone, all in one style.

    local_time   Sat, Sep 5, 2026, 8:41 AM CDT
    exact_time   Sat, Sep 5, 2026, 8:41:30 AM CDT
    short_time   Sep 5, 2026, 8:41 AM CDT
    local_date   Sat, Sep 5, 2026
    local_day    Sep 5, 2026
    short_day    Sep 5
    game_day     Sat, Sep 5
    local_clock  8:41 AM CDT
    weekday      Saturday, September 5

Each takes UTC text, `weekday` a date. Zones come from the `tzdata` package, never from the machine:
a paper says the same wherever it is printed. The zone's letters stay, because one hour in fall
comes twice.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from ledger.record.times import format_utc, moment_of, zone

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_WHOLE_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August",
                 "September", "October", "November", "December")  # fmt: skip


def local_time(utc: str, zone_name: str) -> str:
    return f"{local_date(utc, zone_name)}, {local_clock(utc, zone_name)}"


def exact_time(utc: str, zone_name: str) -> str:
    """`local_time`, with seconds unless it is a full minute."""
    seconds = utc[17:23].removesuffix(".000")
    exact = "" if seconds == "00" else f":{seconds}"
    return f"{local_date(utc, zone_name)}, {local_clock(utc, zone_name, exact)}"


def short_time(utc: str, zone_name: str) -> str:
    """`local_time` without the day of the week, for a narrow column."""
    return f"{local_day(utc, zone_name)}, {local_clock(utc, zone_name)}"


def local_date(utc: str, zone_name: str) -> str:
    when = _local(utc, zone_name)
    return f"{_DAYS[when.weekday()]}, {_day(when)}"


def local_day(utc: str, zone_name: str) -> str:
    return _day(_local(utc, zone_name))


def short_day(utc: str, zone_name: str) -> str:
    """`local_day` without the year, where the page has it elsewhere."""
    return local_day(utc, zone_name).partition(",")[0]


def game_day(utc: str, zone_name: str) -> str:
    """`local_date` without the year, where the paper has it elsewhere."""
    return local_date(utc, zone_name).rpartition(",")[0]


def local_clock(utc: str, zone_name: str, seconds: str = "") -> str:
    """`seconds`: text behind the minutes, such as ":30"."""
    when = _local(utc, zone_name)
    half = "AM" if when.hour < 12 else "PM"
    return f"{when.hour % 12 or 12}:{when.minute:02d}{seconds} {half} {when.tzname()}"


def time_beside(other: str, utc: str, zone_name: str) -> str:
    """The local time of `utc`, without the date if `other` is on the same day."""
    same_day = local_date(utc, zone_name) == local_date(other, zone_name)
    return (local_clock if same_day else local_time)(utc, zone_name)


def clock_beside(other: str, utc: str, zone_name: str) -> str:
    """`time_beside`, without the zone too if `other` is in the same one on that day."""
    beside = time_beside(other, utc, zone_name)
    return beside if "," in beside else without_zone(other, utc, beside, zone_name)


def without_zone(other: str, utc: str, said: str, zone_name: str) -> str:
    """`said`, which ends in the zone of `utc`; without it if it is the zone of `other` as well."""
    is_same = _local(utc, zone_name).tzname() == _local(other, zone_name).tzname()
    return said.rpartition(" ")[0] if is_same else said


def minutes_between(before: str, after: str) -> int:
    """Minutes from one printed time to the other; the seconds are on no paper."""
    first, last = (moment_of(utc).replace(second=0, microsecond=0) for utc in (before, after))
    return (last - first) // timedelta(minutes=1)


def plain_date(iso: str) -> str:
    """`2026-10-01` → "Oct 1, 2026"."""
    return _day(date.fromisoformat(iso))


def short_date(iso: str) -> str:
    """`2026-10-01` → "Oct 1", where the paper says the season."""
    return plain_date(iso).partition(",")[0]


def weekday(iso: str) -> str:
    """`2026-09-05` → "Saturday, September 5"."""
    day = date.fromisoformat(iso)
    return f"{_WEEKDAYS[day.weekday()]}, {_WHOLE_MONTHS[day.month - 1]} {day.day}"


def unix_time(seconds: int, zone_name: str) -> str:
    """Seconds since 1970 as `exact_time`, or as plain seconds beyond the calendar."""
    try:
        utc = format_utc(datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=seconds))
        return exact_time(utc, zone_name)
    except OverflowError:
        return f"{seconds} seconds after 1970"


def _local(utc: str, zone_name: str) -> datetime:
    return moment_of(utc).astimezone(zone(zone_name))


def _day(when: date) -> str:
    return f"{_MONTHS[when.month - 1]} {when.day}, {when.year}"
