"""Codes and times as people read them."""

from __future__ import annotations

import pytest

from ledger.errors import ReportError
from ledger.say import words


@pytest.mark.parametrize(
    ("utc", "zone", "local"),
    [
        # RFC 3339 section 5.8 (from memory): 1996-12-19T16:39:57-08:00 is 1996-12-20T00:39:57Z.
        ("1996-12-20T00:39:57.000Z", "America/Los_Angeles", "Thu, Dec 19, 1996, 4:39 PM PST"),
        ("2026-09-05T13:41:22.000Z", "America/Chicago", "Sat, Sep 5, 2026, 8:41 AM CDT"),
        # The hour that comes twice is told apart by its letters.
        ("2026-11-01T06:30:00.000Z", "America/Chicago", "Sun, Nov 1, 2026, 1:30 AM CDT"),
        ("2026-11-01T07:30:00.000Z", "America/Chicago", "Sun, Nov 1, 2026, 1:30 AM CST"),
        ("2026-09-05T05:00:00.000Z", "America/Chicago", "Sat, Sep 5, 2026, 12:00 AM CDT"),
        ("2026-09-05T17:00:00.000Z", "America/Chicago", "Sat, Sep 5, 2026, 12:00 PM CDT"),
    ],
)
def test_local_time(utc: str, zone: str, local: str) -> None:
    assert words.local_time(utc, zone) == local
    assert words.local_time(utc, zone) == (
        f"{words.local_date(utc, zone)}, {words.local_clock(utc, zone)}"
    )


@pytest.mark.parametrize(
    ("clb", "text"),
    [(10_500, "105 lb"), (10_550, "105.5 lb"), (10_505, "105.05 lb"), (5, "0.05 lb")],
)
def test_pounds(clb: int, text: str) -> None:
    assert words.pounds(clb) == text


def test_every_code_of_the_answers_has_words() -> None:
    assert set(words.REASONS) == {"over", "absent", "injured", "equipment", "other"}
    assert set(words.MAY_PLAY) == {"full", "second_half", "none"}
    assert set(words.MAY_CARRY) == {"yes", "no", "undecided"}
    assert set(words.BASES) == {"none", "declared", "scale", "late_scale", "book", "ruling"}
    assert set(words.FIRST_TO_WEIGH) == {"visitors", "home", "either"}
    assert set(words.LATE_PLAYERS) == {"second_half", "whole_game", "none"}


def test_another_code_is_refused_with_the_known_ones() -> None:
    with pytest.raises(ReportError) as caught:
        words.reason("heavy")
    assert "over, absent, injured, equipment, other" in caught.value.hint


def test_words_never_speak_of_a_body() -> None:
    """Privacy and kindness: the list is about a limit and a game, not about a child's body."""
    said = " ".join(
        text
        for table in (words.REASONS, words.MAY_PLAY, words.MAY_CARRY, words.BASES)
        for text in table.values()
    ).lower()
    for word in ("weight", "heavy", "fat", "pounds", "lb", "fail", "disqualif"):
        assert word not in said


def test_hashes_are_grouped_for_the_eye() -> None:
    digits = "0123456789abcdef" * 4
    assert words.short_hash(digits) == "0123 4567 89ab cdef"
    assert words.grouped(digits).replace(" ", "") == digits
    assert words.jersey(0) == "0"
    assert words.jersey(None) == "–"


@pytest.mark.parametrize(
    ("clb", "kilograms"),
    # A pound is 0.45359237 kg exactly (NIST, quoted); the products are arithmetic.
    [(100, "0.5 kg"), (10_000, "45.4 kg"), (10_500, "47.6 kg"), (22_046, "100.0 kg")],
)
def test_pounds_in_kilograms(clb: int, kilograms: str) -> None:
    assert words.kilograms(clb) == kilograms
    assert words.POUND_KG * 100_000_000 == 45_359_237
