"""Numbers, hashes and parts of sentences for people to read."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

_JOINERS = "\u200c\u200d"
"""Some scripts need them between letters; they control nothing."""
POUND_KG = Decimal("0.45359237")


def upper_first(text: str) -> str:
    """The text with a capital, to begin a sentence."""
    return text[:1].upper() + text[1:]


def lower_first(text: str) -> str:
    """The text without a capital, for the middle of a sentence."""
    return text[:1].lower() + text[1:]


def printable(text: str) -> str:
    """The text without control codes: a stranger wrote it."""
    return "".join(
        letter if letter.isprintable() or letter in _JOINERS else "\ufffd" for letter in text
    )


def jersey(number: int | None) -> str:
    return "–" if number is None else str(number)


def same_number(number: int, players: int) -> str:
    """What to do about a number that several players have."""
    many = "Two" if players == 2 else players
    return f"{many} players have number {number}. Ask the name."


def pounds(clb: int) -> str:
    """Hundredths of a pound, as text: 10550 → "105.5 lb"."""
    whole, part = divmod(clb, 100)
    return f"{whole}.{part:02d}".rstrip("0").rstrip(".") + " lb"


def kilograms(clb: int) -> str:
    """Hundredths of a pound in kilograms, to a tenth: 10500 → "47.6 kg".

    A pound is 0.45359237 kg exactly (NIST, quoted). For reading only: limits are in pounds.
    """
    return f"{(Decimal(clb) * POUND_KG / 100).quantize(Decimal('0.1'))} kg"


def unbroken(text: str) -> str:
    """The text for a paper, in one piece: no line breaks inside."""
    return text.replace(" ", "\u00a0")


def short_hash(digits: str) -> str:
    """The first 16 of 64 hex digits, in groups of four for comparing by eye."""
    return " ".join(digits[start : start + 4] for start in range(0, 16, 4))


def grouped(digits: str) -> str:
    """All hex digits, in groups of eight."""
    return " ".join(digits[start : start + 8] for start in range(0, len(digits), 8))


def join(parts: Sequence[str], word: str = "and") -> str:
    """ "a", "a and b", "a, b and c"."""
    return f"{', '.join(parts[:-1])} {word} {parts[-1]}" if len(parts) > 1 else "".join(parts)
