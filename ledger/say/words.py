"""Numbers, hashes and parts of sentences as people read them."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

_JOINERS = "\u200c\u200d"
"""Letters of some scripts need them between them; they steer nothing."""
POUND_KG = Decimal("0.45359237")


def upper_first(text: str) -> str:
    """As it begins a sentence."""
    return text[:1].upper() + text[1:]


def lower_first(text: str) -> str:
    """As it stands within a sentence."""
    return text[:1].lower() + text[1:]


def printable(text: str) -> str:
    """The text without what could steer a terminal: a stranger wrote it."""
    return "".join(
        letter if letter.isprintable() or letter in _JOINERS else "\ufffd" for letter in text
    )


def jersey(number: int | None) -> str:
    return "–" if number is None else str(number)


def pounds(clb: int) -> str:
    """Hundredths of a pound, as text: 10550 → "105.5 lb"."""
    whole, part = divmod(clb, 100)
    return f"{whole}.{part:02d}".rstrip("0").rstrip(".") + " lb"


def kilograms(clb: int) -> str:
    """Hundredths of a pound in kilograms, to a tenth: 10500 → "47.6 kg".

    A pound is 0.45359237 kg exactly (NIST, quoted). For reading only: limits are set in pounds.
    """
    return f"{(Decimal(clb) * POUND_KG / 100).quantize(Decimal('0.1'))} kg"


def short_hash(digits: str) -> str:
    """The first 16 of 64 hex digits, in fours, as people compare them."""
    return " ".join(digits[start : start + 4] for start in range(0, 16, 4))


def grouped(digits: str) -> str:
    """All hex digits, in eights."""
    return " ".join(digits[start : start + 8] for start in range(0, len(digits), 8))


def join(parts: Sequence[str], word: str = "and") -> str:
    """ "a", "a and b", "a, b and c"."""
    return f"{', '.join(parts[:-1])} {word} {parts[-1]}" if len(parts) > 1 else "".join(parts)
