"""Local times, all in one style."""

from __future__ import annotations

import pytest

from ledger.say import clock

ZONE = "America/Chicago"


@pytest.mark.parametrize(
    ("utc", "zone", "local"),
    [
        # RFC 3339 section 5.8 (from memory): 1996-12-19T16:39:57-08:00 is 1996-12-20T00:39:57Z.
        ("1996-12-20T00:39:57.000Z", "America/Los_Angeles", "Thu, Dec 19, 1996, 4:39 PM PST"),
        ("2026-09-05T13:41:22.000Z", ZONE, "Sat, Sep 5, 2026, 8:41 AM CDT"),
        # The letters tell the two 1:30s of that night apart.
        ("2026-11-01T06:30:00.000Z", ZONE, "Sun, Nov 1, 2026, 1:30 AM CDT"),
        ("2026-11-01T07:30:00.000Z", ZONE, "Sun, Nov 1, 2026, 1:30 AM CST"),
        ("2026-09-05T05:00:00.000Z", ZONE, "Sat, Sep 5, 2026, 12:00 AM CDT"),
        ("2026-09-05T17:00:00.000Z", ZONE, "Sat, Sep 5, 2026, 12:00 PM CDT"),
    ],
)
def test_local_time(utc: str, zone: str, local: str) -> None:
    assert clock.local_time(utc, zone) == local
    assert local == f"{clock.local_date(utc, zone)}, {clock.local_clock(utc, zone)}"
    assert clock.short_time(utc, zone) == local.partition(", ")[2]
    assert clock.local_day(utc, zone) == clock.local_date(utc, zone).partition(", ")[2]
    assert f"{clock.game_day(utc, zone)}, {local.split(', ')[2]}" == clock.local_date(utc, zone)


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [
        ("00.000", "8:41 AM CDT"),
        ("30.000", "8:41:30 AM CDT"),
        ("00.250", "8:41:00.250 AM CDT"),
        ("07.005", "8:41:07.005 AM CDT"),
    ],
)
def test_exact_time_shows_seconds_where_there_are_some(seconds: str, shown: str) -> None:
    exact = clock.exact_time(f"2026-09-05T13:41:{seconds}Z", ZONE)
    assert exact == f"Sat, Sep 5, 2026, {shown}"


def test_a_date_is_left_out_beside_a_time_of_that_day() -> None:
    kickoff = "2026-09-05T14:00:00.000Z"
    assert clock.time_beside(kickoff, "2026-09-05T13:41:00.000Z", ZONE) == "8:41 AM CDT"
    # Local days count: in UTC this is the next day already.
    assert clock.time_beside(kickoff, "2026-09-06T02:00:00.000Z", ZONE) == "9:00 PM CDT"
    later = clock.time_beside(kickoff, "2026-09-06T13:41:00.000Z", ZONE)
    assert later == "Sun, Sep 6, 2026, 8:41 AM CDT"


def test_a_zone_is_left_out_beside_a_time_in_the_same_one() -> None:
    kickoff = "2026-11-01T14:00:00.000Z"
    assert clock.clock_beside(kickoff, "2026-11-01T13:41:00.000Z", ZONE) == "7:41 AM"
    # Before the clocks went back that night.
    assert clock.clock_beside(kickoff, "2026-11-01T06:30:00.000Z", ZONE) == "1:30 AM CDT"
    later = clock.clock_beside(kickoff, "2026-11-02T13:41:00.000Z", ZONE)
    assert later == "Mon, Nov 2, 2026, 7:41 AM CST"


def test_a_signature_has_a_time_whatever_its_device_claims() -> None:
    assert clock.unix_time(1_788_615_682, "UTC") == "Sat, Sep 5, 2026, 1:41:22 PM UTC"
    assert clock.unix_time(2**62, "UTC") == f"{2**62} seconds after 1970"


def test_plain_date() -> None:
    assert clock.plain_date("2026-10-01") == "Oct 1, 2026"
    assert clock.short_date("2026-10-01") == "Oct 1"


def test_a_weekday_in_full() -> None:
    assert clock.weekday("2026-09-05") == "Saturday, September 5"


def test_every_day_and_month_has_its_name() -> None:
    """A week's days in full, and the first of each month; the short names are their beginnings."""
    week = [clock.weekday(f"2026-11-{day}").partition(",")[0] for day in range(23, 30)]
    assert " ".join(week) == "Monday Tuesday Wednesday Thursday Friday Saturday Sunday"
    utc = [f"2026-11-{day}T12:00:00.000Z" for day in range(23, 30)]
    assert [clock.local_date(one, "UTC")[:4] for one in utc] == [f"{one[:3]}," for one in week]
    firsts = [f"2026-{month:02}-01" for month in range(1, 13)]
    months = [clock.weekday(first).split()[1] for first in firsts]
    assert months[0::11] == ["January", "December"]
    assert len(set(months)) == 12
    assert [clock.plain_date(first) for first in firsts] == [f"{one[:3]} 1, 2026" for one in months]


def test_minutes_between_two_times_are_those_that_are_printed() -> None:
    """“1 hour 1 min later” stood between 11:20 and 12:22: the seconds were counted."""
    assert clock.minutes_between("2026-10-03T16:20:40.000Z", "2026-10-03T17:22:10.000Z") == 62
    assert clock.minutes_between("2026-10-03T16:20:00.000Z", "2026-10-03T16:20:59.000Z") == 0
