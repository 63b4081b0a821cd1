"""The characters that papers can show, and the font files for them.

The fonts come from one package (SIL Open Font License 1.1): Noto Sans, emoji in one color,
symbols, and twenty more scripts. Chinese, Japanese and Korean are left out: their font alone is
20 MB. Arabic prints correctly, but its font builds letters from shared parts, so text copied from
a paper has other letters. PDF/A forbids the .notdef glyph (ISO 19005-3, 6.2.11.8), so a character
that no font has is shown as U+FFFD, and the paper says so.
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
REPLACEMENT = "\N{REPLACEMENT CHARACTER}"

# Controls, direction marks (a name must not reorder its row), tags, and what XML forbids.
# Joiners and variation selectors stay: names and emoji need them.
UNSEEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\xad\u061c\u200b\u200e\u200f\u202a-\u202e\u2060-\u206f"
    "\ufe00-\ufe0d\ufeff\ufff0-\ufffc\ufffe\uffff\ud800-\udfff\U000e0000-\U000e0fff]"
)
LINES = re.compile("[\u0085\u2028\u2029]")
JOINERS = frozenset("\t\n\r\u200c\u200d\ufe0e\ufe0f")


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


def printable(text: str) -> tuple[str, bool]:
    """The text as the fonts can show it, and whether a character was replaced.

    Controls and direction marks are left out; they do not count as replaced.
    """
    seen = UNSEEN.sub("", LINES.sub(" ", text))
    missing = _missing(set(seen))
    return seen.translate(dict.fromkeys(map(ord, missing), REPLACEMENT)), bool(missing)
