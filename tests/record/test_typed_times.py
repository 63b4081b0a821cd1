"""Times as people type them: one moment, or a question."""

from __future__ import annotations

from contextlib import suppress
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.record.times import format_utc, is_utc_text, moment_of, zone
from ledger.record.typed_times import typed_time
from ledger.say.clock import exact_time

CHICAGO = zone("America/Chicago")
KICKOFF = "2026-09-05T18:30:00.000Z"  # 1:30 PM in Chicago


@pytest.mark.parametrize(
    ("typed", "means"),
    [
        ("9/5/2026 8:45 am", "2026-09-05T13:45"),
        ("9/5/2026 8:45", "2026-09-05T13:45"),
        ("09/05/2026, 8:45 P.M.", "2026-09-06T01:45"),
        ("2026-9-5 8 am", "2026-09-05T13:00"),
        ("2026-09-05 20:45", "2026-09-06T01:45"),
        ("2026-09-05 08:45:10-04:00", "2026-09-05T12:45:10"),
        ("Sep 5, 2026 12:05 am", "2026-09-05T05:05"),
        ("Sat, Sep 5, 2026, 8:41:30 AM CDT", "2026-09-05T13:41:30"),
        ("Sun, Nov 1, 2026, 1:30 AM CST", "2026-11-01T07:30"),
        ("Sun, Nov 1, 2026, 1:30 AM CDT", "2026-11-01T06:30"),
    ],
)
def test_a_time_with_its_day(typed: str, means: str) -> None:
    assert typed_time(typed, CHICAGO) == format_utc(moment_of(f"{means}Z"))


@pytest.mark.parametrize(
    ("typed", "means"),
    [("12:55", "17:55"), ("1:15", "18:15"), ("01:15:00", "18:15"), ("11:40", "16:40"),
     ("13:15", "18:15"), ("1:15 am", "06:15"), ("9/5/2026 1:15", "18:15")],
)  # fmt: skip
def test_a_kickoff_gives_the_day_and_the_half_of_the_day(typed: str, means: str) -> None:
    assert typed_time(typed, CHICAGO, near=KICKOFF) == f"2026-09-05T{means}:00.000Z"


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("9/5/2026 1:15", '"1:15 am" or "1:15 pm"'),
        ("noon", "a time such as"),
        ("8", "a time such as"),
        ("8:45 pm am", "a time such as"),
        ("13:15 pm", "a time such as"),
        ("13/5/2026 8:45", "a time such as"),
        ("Sun, Sep 5, 2026 8:45 am", "a time such as"),
        ("2026-09-05 25:00", "a calendar date and a time"),
        ("9/5/2026 8:61", "a calendar date and a time"),
        ("Sun, Nov 1, 2026 1:30 am", "this local time with its offset: it occurs twice"),
        ("9/5/2026 8:45 am CST", "this time without CST"),
    ],
)
def test_what_may_mean_two_moments_is_asked(typed: str, told: str) -> None:
    with pytest.raises(ValueError, match=told):
        typed_time(typed, CHICAGO)


@given(st.datetimes(datetime(2000, 1, 2), datetime(2099, 12, 30)))
def test_what_the_screen_shows_can_be_typed(when: datetime) -> None:
    """The hour that comes twice too, with seconds."""
    utc = format_utc(when.replace(tzinfo=UTC, microsecond=0))
    assert typed_time(exact_time(utc, "America/Chicago"), CHICAGO) == utc


@given(st.text(alphabet="0123456789:/-., apmSep", max_size=24), st.sampled_from([None, KICKOFF]))
def test_any_text_is_a_time_or_a_question(text: str, near: str | None) -> None:
    """Nothing but ValueError escapes."""
    with suppress(ValueError):
        assert is_utc_text(typed_time(text, CHICAGO, near=near))
