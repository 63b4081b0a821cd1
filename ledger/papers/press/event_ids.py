"""How ids stand in a sentence: those of events as small as a footnote, since readers need the
sentence and checkers the id; those of cases in one piece.
"""

from __future__ import annotations

import re

from markupsafe import Markup, escape

# The space goes with the id: before a span that does not fit, the typesetter breaks the line anew,
# at its first space.
_IN_TEXT = re.compile(r"( ?\[[A-Za-z0-9][\w.-]*:[0-9]+\])", re.ASCII)

_WITH_HYPHEN = re.compile(r"(\S{1,20}-\S{1,20})")


def whole_words(text: str) -> Markup:
    """The text, escaped, with each word that has a hyphen in one piece."""
    pieces = _WITH_HYPHEN.split(text)
    return Markup("").join(
        Markup('<span class="whole">{}</span>').format(piece) if place % 2 else escape(piece)
        for place, piece in enumerate(pieces)
    )


def small_ids(text: str) -> Markup:
    """The text, escaped, with each id in brackets ("[office:57]") of the class `id`."""
    pieces = _IN_TEXT.split(text)
    return Markup("").join(
        Markup('<span class="id">{}</span>').format(piece) if place % 2 else escape(piece)
        for place, piece in enumerate(pieces)
    )
