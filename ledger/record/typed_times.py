"""Times as people type them: "8:45", "9/5/2026 8:45 am", "Sat, Sep 5, 2026, 8:45 AM CDT".

Day files take only the form of `ledger.record.times`. Here more is read, as long as it can mean
one moment only; a front end says in full what it took.

>>> from ledger.record.times import zone
>>> typed_time("9/5/2026 8:45 pm", zone("America/Chicago"))
'2026-09-06T01:45:00.000Z'
"""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from ledger.record.times import FULL, format_utc, moment_of, now_utc, parse_time

RIGHT = 'a time such as 8:45, "9/5/2026 8:45 am" or 2026-09-05 08:45'
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_DATE = re.compile(
    rf"(?:(?P<day_name>{'|'.join(_DAYS)})[a-z]*\.?,? +)?"
    r"(?:(?P<year>\d{4})-(?P<month>\d\d?)-(?P<day>\d\d?)"
    r"|(?P<month2>\d\d?)/(?P<day2>\d\d?)/(?P<year2>\d{4})"
    rf"|(?P<name>{'|'.join(_MONTHS)})[a-z]*\.? +(?P<day3>\d\d?),? +(?P<year3>\d{{4}}))",
    re.ASCII | re.IGNORECASE,
)
_CLOCK = re.compile(
    r"(?P<hour>\d\d?)(?::(?P<minute>\d\d)(?::(?P<second>\d\d))?)?"
    r" ?(?P<half>[ap]\.?m\.?)?(?: (?P<zone>[A-Z]{2,5}))?",
    re.ASCII | re.IGNORECASE,
)
_NOON = 12
_FIRST_MORNING_HOUR = 7


class EitherHalfError(ValueError):
    """A time that may be before or after noon."""


def typed_date(text: str) -> date | None:
    """A date as people type it, month first with slashes; None if it is none."""
    match = _DATE.fullmatch(text.strip())
    return _date(match) if match else None


def typed_time(text: str, local: ZoneInfo, *, near: str | None = None) -> str:
    """Return the UTC text of a typed time; ValueError says what to type.

    A clock alone is of today or, with `near` (UTC text, such as a kickoff), of that day. Without am
    or pm, `near` also tells morning from evening; otherwise 1:00 to 6:59 is asked about.
    """
    text = " ".join(text.split())
    if FULL.fullmatch(text):
        return parse_time(text, local)
    begins = _DATE.match(text)
    day = _date(begins) if begins else None
    clock = _CLOCK.fullmatch(text[begins.end() :].lstrip(" ,Tt") if begins else text)
    if clock is None or (begins and day is None) or not (clock["minute"] or clock["half"]):
        raise ValueError(RIGHT)
    letters = (clock["zone"] or "").upper()
    if letters in ("AM", "PM"):  # a second one
        raise ValueError(RIGHT)
    around = moment_of(near).astimezone(local) if near else None
    today = around or moment_of(now_utc()).astimezone(local)
    on_day = day or today.date()
    hour = _hour(clock, on_day, around)
    plain = f"{on_day.isoformat()} {hour:02d}:{clock['minute'] or '00'}:{clock['second'] or '00'}"
    return _in_zone(plain, letters, local) if letters else parse_time(plain, local)


def _date(match: re.Match[str]) -> date | None:
    year = match["year"] or match["year2"] or match["year3"]
    month = match["month"] or match["month2"]
    number = int(month) if month else _MONTHS.index(match["name"].lower()) + 1
    day = match["day"] or match["day2"] or match["day3"]
    try:
        found = date(int(year), number, int(day))
    except ValueError:
        return None
    named = match["day_name"]
    return None if named and _DAYS[found.weekday()] != named.lower() else found


def _hour(clock: re.Match[str], day: date, around: datetime | None) -> int:
    hour, half = int(clock["hour"]), clock["half"]
    if half:
        if not 1 <= hour <= _NOON:
            raise ValueError(RIGHT)
        return hour % _NOON + (_NOON if half[0] in "pP" else 0)
    if not 1 <= hour <= _NOON:
        return hour
    if around is not None and day == around.date():
        # 01:15 too: a spreadsheet writes 1:15 so, and a kickoff at 1:30 PM says which is meant.
        return min(
            (hour % _NOON, hour % _NOON + _NOON),
            key=lambda one: abs(timedelta(hours=one) - _since_midnight(around)),
        )
    if hour < _FIRST_MORNING_HOUR and len(clock["hour"]) == 1:
        said = clock[0]
        raise EitherHalfError(f'"{said} am" or "{said} pm"')
    return hour


def _since_midnight(moment: datetime) -> timedelta:
    return timedelta(hours=moment.hour, minutes=moment.minute)


def _in_zone(plain: str, letters: str, local: ZoneInfo) -> str:
    """The moment with the zone's letters, which tell the hour apart that comes twice."""
    try:
        naive = datetime.fromisoformat(plain)
    except ValueError:
        return parse_time(plain, local)
    for fold in (0, 1):
        moment = naive.replace(tzinfo=local, fold=fold)
        if moment.tzname() == letters:
            return format_utc(moment)
    raise ValueError(f"this time without {letters}: that day the league's clock has other letters")
