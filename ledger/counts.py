"""Counts with their nouns."""

from __future__ import annotations


def count_of(count: int, noun: str, many: str = "") -> str:
    """ "1 play", "1,000 plays"; `many` is the plural of a noun that takes more than an s."""
    return f"{count:,} {noun if count == 1 else many or noun + 's'}"
