"""Times: what is accepted, what it means in UTC, and what the message asks for.

RFC 3339 from memory. The days of change in America/Chicago are those of the Energy Policy Act of
2005 (second Sunday of March, first of November, at 2:00), from memory; tzdata agrees.
"""

from contextlib import suppress
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.record.times import (
    format_utc,
    local_date,
    moment_of,
    now_utc,
    parse_time,
    zone,
    zone_names,
)

CHICAGO = zone("America/Chicago")


@pytest.mark.parametrize(
    ("text", "utc"),
    [
        # RFC 3339 section 5.8, the examples without a leap second; from memory.
        ("1985-04-12T23:20:50.52Z", "1985-04-12T23:20:50.520Z"),
        ("1996-12-19T16:39:57-08:00", "1996-12-20T00:39:57.000Z"),
        ("1937-01-01T12:00:27.87+00:20", "1937-01-01T11:40:27.870Z"),
        # The forms of FORMAT.md: T or a space, seconds or none, a fraction or none.
        ("2026-09-05T08:41:22", "2026-09-05T13:41:22.000Z"),
        ("2026-09-05 08:41:22", "2026-09-05T13:41:22.000Z"),
        ("2026-09-05 08:41", "2026-09-05T13:41:00.000Z"),
        ("2026-12-05 08:41", "2026-12-05T14:41:00.000Z"),
        ("2026-09-05T08:41Z", "2026-09-05T08:41:00.000Z"),
        ("2026-09-05T08:41+02:00", "2026-09-05T06:41:00.000Z"),
        ("2026-09-05T08:41-00:00", "2026-09-05T08:41:00.000Z"),
        ("2026-09-05T00:30:00+23:59", "2026-09-04T00:31:00.000Z"),
        ("2024-02-29T12:00Z", "2024-02-29T12:00:00.000Z"),
    ],
)
def test_accepted(text: str, utc: str) -> None:
    assert parse_time(text, CHICAGO) == utc


@pytest.mark.parametrize(
    ("fraction", "kept"),
    [(".1", "100"), (".12", "120"), (".123", "123"), (".1239", "123"), (".9999999999", "999")],
)
def test_kept_to_the_millisecond_and_further_digits_are_dropped(fraction: str, kept: str) -> None:
    assert parse_time(f"2026-09-05T08:41:22{fraction}Z", CHICAGO) == f"2026-09-05T08:41:22.{kept}Z"


FORM = "a time such as"
CALENDAR = "a calendar date and a time from 00:00:00 to 23:59:59"


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("2026-09-05T24:00", CALENDAR),  # FORMAT.md, section 2
        ("2026-09-05T24:00:00Z", CALENDAR),
        ("2026-02-29T10:00", CALENDAR),
        ("2026-13-01T10:00", CALENDAR),
        ("2026-09-31T10:00", CALENDAR),
        ("2026-09-05T10:60", CALENDAR),
        ("0000-01-01T10:00", CALENDAR),
        ("1990-12-31T23:59:60Z", CALENDAR),  # RFC 3339 section 5.8: a leap second
        ("2026-09-05", FORM),
        ("2026-09-05T10", FORM),
        ("2026-09-05T10:00.5", FORM),  # a fraction follows seconds
        ("2026-09-05T10:00:00.", FORM),
        ("2026-09-05T10:00z", FORM),
        ("2026-09-05t10:00Z", FORM),
        ("2026-09-05T10:00 Z", FORM),
        ("2026-09-05T10:00+0500", FORM),
        ("2026-09-05T10:00+05", FORM),
        ("2026-9-5T10:00", FORM),
        (" 2026-09-05T10:00", FORM),
        ("2026-09-05T10:00\n", FORM),
        ("９999-09-05T10:00", FORM),  # a full-width digit
        ("10:00", FORM),
        ("", FORM),
        ("2026-09-05T10:00+24:00", "an offset from -23:59 to +23:59"),
        ("2026-09-05T10:00+05:60", "an offset from -23:59 to +23:59"),
        ("0001-01-01T00:00+05:00", "a time in the years 1 to 9999"),
        ("9999-12-31T23:00", "a time in the years 1 to 9999"),
        ("0001-01-01T00:00Z", "a time in the years 1 to 9999"),  # it has no local time
    ],
)
def test_refused(text: str, right: str) -> None:
    with pytest.raises(ValueError, match="^" + right[:20]) as caught:
        parse_time(text, CHICAGO)
    assert right in str(caught.value)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2026-12-05 9:00", "Write month, day and hour with two digits, such as 09:00"),
        ("2026-9-5T10:00", "Write month, day and hour with two digits, such as 09:00"),
        ("2026-12-05", "The time of day is missing"),
        ("12/5/2026 9:00", "A spreadsheet program rewrote this time"),
    ],
)
def test_what_is_nearly_a_time_is_told_what_it_lacks(text: str, said: str) -> None:
    with pytest.raises(ValueError, match=r"^a time such as") as caught:
        parse_time(text, CHICAGO)
    assert said in str(caught.value)


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("2026-03-08T02:00", "does not exist"),
        ("2026-03-08T02:30", "does not exist"),
        ("2026-03-08T02:59:59.999", "does not exist"),
        ("2026-11-01T01:00", "occurs twice"),
        ("2026-11-01T01:59:59.999", "occurs twice"),
    ],
)
def test_a_local_time_that_is_skipped_or_comes_twice_asks_for_the_offset(
    text: str, what: str
) -> None:
    with pytest.raises(ValueError, match="with its offset") as caught:
        parse_time(text, CHICAGO)
    assert f"it {what} in America/Chicago" in str(caught.value)
    assert parse_time(f"{text}-06:00", CHICAGO).startswith(text[:10])


@pytest.mark.parametrize(
    ("text", "utc"),
    [
        ("2026-03-08T01:59:59.999", "2026-03-08T07:59:59.999Z"),
        ("2026-03-08T03:00", "2026-03-08T08:00:00.000Z"),
        ("2026-11-01T00:59:59.999", "2026-11-01T05:59:59.999Z"),
        ("2026-11-01T02:00", "2026-11-01T08:00:00.000Z"),
    ],
)
def test_the_edges_of_a_change_are_local_times_like_others(text: str, utc: str) -> None:
    assert parse_time(text, CHICAGO) == utc


@given(
    st.datetimes(datetime(1, 1, 3), datetime(9999, 12, 29)),
    st.integers(-1439, 1439),
)
def test_a_time_with_an_offset_is_that_moment(plain: datetime, minutes: int) -> None:
    offset = f"{'-' if minutes < 0 else '+'}{abs(minutes) // 60:02}:{abs(minutes) % 60:02}"
    text = parse_time(plain.isoformat(timespec="microseconds") + offset, CHICAGO)
    utc = (plain - timedelta(minutes=minutes)).replace(tzinfo=UTC)
    assert moment_of(text) == utc.replace(microsecond=utc.microsecond // 1000 * 1000)
    assert format_utc(moment_of(text)) == text


@given(st.text(), st.sampled_from(["UTC", "America/Chicago", "Pacific/Apia", "Asia/Kathmandu"]))
def test_any_text_is_a_time_or_a_value_error(text: str, name: str) -> None:
    with suppress(ValueError):
        assert len(parse_time(text, zone(name))) == len("2026-09-05T13:41:22.000Z")


@given(st.from_regex(r"[0-9]{4}-[01][0-9]-[0-3][0-9]T[0-2][0-9]:[0-5][0-9](\+23:59|-23:59|Z)?\Z"))
def test_any_such_time_is_one_or_a_value_error(text: str) -> None:
    try:
        parsed = parse_time(text, CHICAGO)
    except ValueError:
        return
    assert local_date(parsed, "America/Chicago")


def test_a_local_date_is_the_leagues() -> None:
    assert local_date("2026-09-06T04:30:00.000Z", "America/Chicago") == "2026-09-05"
    assert local_date("2026-09-06T05:00:00.000Z", "America/Chicago") == "2026-09-06"


def test_an_unknown_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="no time zone 'Mars/Olympus'"):
        zone("Mars/Olympus")
    assert "America/Chicago" in zone_names()


def test_every_named_zone_can_be_read() -> None:
    assert {zone(name).key for name in zone_names()} == zone_names()


def test_the_clock_is_fixed_width() -> None:
    assert moment_of(now_utc()) <= datetime.now(UTC)
    assert len(now_utc()) == 24
