"""Did you mean …? Suggestions for a mistyped name."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from difflib import get_close_matches
from functools import lru_cache

SHOWN = 2
_LONGEST = 64


def suggest(asked: str, known: Iterable[str]) -> list[str]:
    """Return up to two known names close to the one asked for, in code point order.

    Capitals, spaces and marks do not count.

    >>> suggest("Acorn 1a", ["acorn-1a", "acorn-1b", "oak-1a"])
    ['acorn-1a']
    >>> suggest("marmot", ["newts", "marmots"])
    ['marmots']
    """
    return _suggest(folded(asked[:_LONGEST]), tuple(sorted(known)))


def did_you_mean(asked: str, known: Iterable[str]) -> str:
    """Return the question with the close names; "" if there are none.

    >>> did_you_mean("newtz", ["newts", "marmots"])
    'Did you mean newts?'
    """
    found = suggest(asked, known)
    return f"Did you mean {' or '.join(found)}?" if found else ""


def suggest_hint(asked: str, known: Iterable[str], otherwise: str) -> str:
    """Return `did_you_mean`, or `otherwise` if no name is close."""
    return did_you_mean(asked, known) or otherwise


@lru_cache(maxsize=256)  # a folder often repeats the same slip
def _suggest(plain: str, known: tuple[str, ...]) -> list[str]:
    by_plain: dict[str, str] = {}
    for one in known:
        by_plain.setdefault(folded(one), one)
    if plain and plain in by_plain:
        return [by_plain[plain]]
    found = get_close_matches(plain, by_plain, n=SHOWN, cutoff=0.7)
    return sorted(by_plain[one] for one in found)


def folded(text: str) -> str:
    """Return the letters and digits only, without capitals and accents.

    >>> folded("Žofie O'Łukasz-2")
    'zofieolukasz2'
    """
    apart = unicodedata.normalize("NFKD", text.casefold()).translate(_NO_MARK_APART)
    return "".join(letter for letter in apart if letter.isalnum())


_NO_MARK_APART = str.maketrans({"ł": "l", "ø": "o", "đ": "d", "ħ": "h", "ı": "i", "æ": "ae",
                                "œ": "oe", "þ": "th", "ð": "d"})  # fmt: skip
"""Letters that Unicode does not take apart into a letter and its mark."""
