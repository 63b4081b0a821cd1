"""The characters that papers can show, and the font files for them.

The fonts come from one package (SIL Open Font License 1.1): Noto Sans, emoji in one color,
symbols, and twenty more scripts. Chinese, Japanese and Korean are left out: their font alone is
20 MB. Arabic prints correctly, but its font builds letters from shared parts, so text copied from
a paper has other letters. PDF/A forbids the .notdef glyph (ISO 19005-3, 6.2.11.8), so "[…]" stands
for letters that no font has, and the paper says so. A name is shown by its other spelling, if it
was given with one.
"""

from __future__ import annotations

import re
from functools import cache
from importlib import resources
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

from ledger.errors import ReportError

PACKAGE = "manimgx_fonts"
FIRST = "NotoSans[wght].ttf"
LEFT_OUT = "[…]"

# Controls, direction marks (a name must not reorder its row), tags, and what XML forbids.
# Joiners and variation selectors stay: names and emoji need them.
UNSEEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\xad\u061c\u200b\u200e\u200f\u202a-\u202e\u2060-\u206f"
    "\ufe00-\ufe0d\ufeff\ufff0-\ufffc\ufffe\uffff\ud800-\udfff\U000e0000-\U000e0fff]"
)
LINES = re.compile("[\u0085\u2028\u2029]")
JOINERS = frozenset("\t\n\r\u200c\u200d\ufe0e\ufe0f")
SPELLINGS = re.compile(r"[()\[\]（）［］/／]")
"""Between the spellings of one name: "みずたま ほしの (Hoshino Mizutama)"."""


@cache
def font_folder() -> Path:
    """The folder of the font files. Raises ReportError if the package is not installed."""
    package = PACKAGE.replace("_", "-")
    try:
        version(package)
    except PackageNotFoundError:
        hint = f"Install the package {package}."
        raise ReportError("the fonts for papers are not installed", hint=hint) from None
    return Path(str(resources.files(PACKAGE)))


@cache
def _characters(file: str) -> frozenset[str]:
    with TTFont(font_folder() / file, lazy=True) as font:
        return frozenset(map(chr, font.getBestCmap()))


def _missing(characters: set[str]) -> set[str]:
    rest = characters - _characters(FIRST) - JOINERS
    for path in sorted(font_folder().glob("*.ttf")):
        if not rest:
            break
        rest -= _characters(path.name)
    return rest


def in_first_font(text: str) -> bool:
    """Whether the first font has every letter of the text."""
    return not set(text) - _characters(FIRST) - set("\t\n\r")


def printable(text: str) -> tuple[str, bool]:
    """The text as the fonts can show it, and whether letters were left out.

    Controls and direction marks are left out; they do not count.
    """
    seen = UNSEEN.sub("", LINES.sub(" ", text))
    missing = _missing(set(seen))
    if not missing:
        return seen, False
    letter = f"[{re.escape(''.join(sorted(missing)))}]"
    return re.sub(rf"{letter}+(?: +{letter}+)*", LEFT_OUT, seen), True


def printable_name(name: str) -> str:
    """The name, or those of its spellings that the fonts can show; "" if they can show none."""
    if not printable(name)[1]:
        return name
    spellings = SPELLINGS.split(name)
    if len(spellings) == 1:
        return name if _has_letters(printable(name)[0]) else ""
    shown = [one.strip() for one in spellings if not printable(one)[1] and _has_letters(one)]
    return ", ".join(shown)


def _has_letters(text: str) -> bool:
    return any(map(str.isalpha, text))
