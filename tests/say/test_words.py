"""Numbers, hashes and parts of sentences for people to read."""

from __future__ import annotations

import pytest

from ledger.say import words


@pytest.mark.parametrize(
    ("clb", "text"),
    [(10_500, "105 lb"), (10_550, "105.5 lb"), (10_505, "105.05 lb"), (5, "0.05 lb")],
)
def test_pounds(clb: int, text: str) -> None:
    assert words.pounds(clb) == text


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


def test_parts_are_joined() -> None:
    assert [words.join(list("abc")[:count]) for count in range(4)] == [
        "",
        "a",
        "a and b",
        "a, b and c",
    ]
    assert words.join(["a", "b"], "or") == "a or b"


def test_a_strangers_text_cannot_control_a_terminal() -> None:
    assert words.printable("a\x1b[2Jb\u200d") == "a\ufffd[2Jb\u200d"
