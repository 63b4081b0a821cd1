"""The types of fields: ids, numbers, counts, pounds, digests, targets (FORMAT.md, section 2)."""

from __future__ import annotations

from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from ledger.record.fields import (
    COLUMNS,
    Id,
    PlayerId,
    Sha256,
    Target,
    Text,
    is_id,
    parse_number,
    parse_pounds,
    parse_whole,
)

LONGEST = "a" * 64


def wrong(kind: Any, text: str) -> str:
    """What would be right instead of this text; '' where nothing is wrong."""
    try:
        TypeAdapter(kind).validate_python(text, strict=True)
    except ValidationError as error:
        return str(error.errors()[0]["msg"])
    return ""


@pytest.mark.parametrize("text", ["a", "7", "off-1", "A.b_c-9", LONGEST, "Unlisted-1", "unlisted"])
def test_an_id(text: str) -> None:
    assert wrong(Id, text) == ""
    assert is_id(text)


@pytest.mark.parametrize(
    "text", ["", LONGEST + "a", "-a", ".a", "_a", "a b", "a:1", "é", "a\n", "a/b", "١"]
)
def test_no_id(text: str) -> None:
    assert wrong(Id, text).startswith("an id: 1 to 64 of A-Z a-z 0-9 . _ -")
    assert not is_id(text)


def test_unlisted_at_the_start_is_reserved() -> None:
    assert wrong(Id, "unlisted-g1-ash-7") == "an id that does not begin with unlisted-"
    assert wrong(PlayerId, "unlisted-g1-ash-7") == ""
    assert not is_id("unlisted-g1-ash-7")


def test_the_longest_unlisted_id_can_be_stated() -> None:
    assert wrong(PlayerId, f"unlisted-{LONGEST}-{LONGEST}-99") == ""


@pytest.mark.parametrize("number", [0, 1, 9, 10, 99])
def test_a_players_number(number: int) -> None:
    assert parse_number(str(number)) == number


@pytest.mark.parametrize("text", ["", "00", "07", "100", "-1", "+1", "1.0", "7a", " 7", "٧", "1e1"])
def test_no_players_number(text: str) -> None:
    with pytest.raises(ValueError, match="0 to 99 without leading zeros"):
        parse_number(text)


@pytest.mark.parametrize("text", ["-1", "1.5", "", " 1", "one", "٧", "1_0"])
def test_no_count(text: str) -> None:
    with pytest.raises(ValueError, match="a whole number"):
        parse_whole(text)


@pytest.mark.parametrize(
    ("text", "hundredths"),
    [("10", 1000), ("10.5", 1050), ("10.05", 1005), ("0.01", 1), ("9999999.99", 999_999_999)],
)
def test_pounds_are_exact_hundredths(text: str, hundredths: int) -> None:
    assert parse_pounds(text) == hundredths


@pytest.mark.parametrize(
    "text", ["0", "0.00", "-1", "+1", "10.", ".5", "10.005", "1e1", "10,5", "ten", "", "NaN", "١"]
)
def test_no_pounds(text: str) -> None:
    with pytest.raises(ValueError, match="above 0 with at most two decimals"):
        parse_pounds(text)


def test_a_files_digest_is_kept_in_lower_case() -> None:
    digest = "AB" * 32
    assert TypeAdapter(Sha256).validate_python(digest) == "ab" * 32
    assert wrong(Sha256, "ab" * 31) == "the file's SHA-256: 64 hexadecimal digits"


@pytest.mark.parametrize("text", ["slip", "office:1", "office:57"])
def test_a_target(text: str) -> None:
    assert wrong(Target, text) == ""


@pytest.mark.parametrize(
    "text", ["office:0", "office:01", "office:", ":1", "a:1:2", "a:1\n", "a:١"]
)
def test_no_target(text: str) -> None:
    assert "an event id such as office:57" in wrong(Target, text)


def test_text_is_anything_but_nothing_and_nul() -> None:
    assert wrong(Text, "a\nb “c” 🏈") == ""
    assert (
        wrong(Text, "") == wrong(Text, "a\0") == "text that is not empty and has no NUL character"
    )


def test_the_columns_are_these() -> None:
    assert ", ".join(COLUMNS) == (
        "at, entered, kind, game, team, player, number, name, by, value, reason, half, count, "
        "reading, limit, initials, case, to, may_play, may_carry, kickoff, site, ref, target, note"
    )


@given(st.text())
def test_any_text_is_a_number_or_a_value_error(text: str) -> None:
    for parse in (parse_number, parse_whole, parse_pounds):
        with suppress(ValueError):
            assert parse(text) >= 0
