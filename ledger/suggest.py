"""What somebody probably meant who typed an id that is not there."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

SHOWN = 2


def suggest(asked: str, known: Iterable[str]) -> list[str]:
    """The known ids near what was asked for: up to two, in code point order.

    Capitals, spaces and marks do not count.

    >>> suggest("Acorn 1a", ["acorn-1a", "acorn-1b", "oak-1a"])
    ['acorn-1a']
    >>> suggest("marmot", ["newts", "marmots"])
    ['marmots']
    """
    by_plain: dict[str, str] = {}
    for one in sorted(known):
        by_plain.setdefault(_plain(one), one)
    plain = _plain(asked)
    if plain and plain in by_plain:
        return [by_plain[plain]]
    found = get_close_matches(plain, by_plain, n=SHOWN, cutoff=0.7)
    return sorted(by_plain[one] for one in found)


def suggest_hint(asked: str, known: Iterable[str], otherwise: str) -> str:
    """A hint that names what is near; `otherwise`, where nothing is.

    >>> suggest_hint("newtts", ["newts", "marmots"], "weighbook status lists the teams.")
    'Near it: newts.'
    """
    found = suggest(asked, known)
    return f"Near it: {', '.join(found)}." if found else otherwise


def _plain(text: str) -> str:
    return "".join(letter for letter in text.casefold() if letter.isalnum())
