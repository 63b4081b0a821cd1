"""A packet's exhibits: lettered, named, and shown if they fit on a page.

A stranger made these files. A picture is drawn anew, and a text is only letters. What cannot be
shown is told by name and size; its bytes never reach the paper.
"""

from __future__ import annotations

import codecs
import textwrap
import unicodedata
from hashlib import sha256

from wcwidth import wcswidth

from ledger.papers.press.pictures import redraw
from ledger.papers.sheets.packet_front_context import ExhibitShown
from ledger.papers.sheets.packet_parts import Whom, said_words
from ledger.review.cases import Entry, Exhibit
from ledger.review.packet import Packet
from ledger.say import exhibits as say
from ledger.say.words import printable

MOST_SHOWN = 12
"""Exhibits that are shown; the others are told by name and size."""
_LINES, _COLUMNS = 58, 96
"""What fits on a page."""
_MOST_TEXT_BYTES = _LINES * _COLUMNS * 4
_MOST_MARKS = 4
"""Marks on one letter; more would cover the lines above and below."""
_SPACES = frozenset("\t\n\r\f")


def lay_exhibits(packet: Packet, whom: Whom) -> tuple[ExhibitShown, ...]:
    """The exhibits in the order in which they were handed in, from A on."""
    entries = {entry.event_id: entry for entry in packet.case.timeline}
    return tuple(
        _lay(place, one, entries[one.event_id], whom)
        for place, one in enumerate(packet.case.exhibits)
    )


def _lay(place: int, one: Exhibit, entry: Entry, whom: Whom) -> ExhibitShown:
    digest = one.copy_sha256 or one.sha256
    kept = None if entry.withdrawn_by else whom.source.store.exhibit(digest)
    name, content = kept or ("", b"")
    is_same = bool(kept) and sha256(content).hexdigest() == digest
    is_shown = is_same and place < MOST_SHOWN
    picture = redraw(content, digest) if is_shown else None
    text = one_page(content) if is_shown and not picture else ""
    return ExhibitShown(
        id=one.event_id,
        letter=say.letter_of(place),
        name=printable(name),
        handed_in=say.handed_in(whom.official(entry.by), whom.source.time(entry.happened_at)),
        said="" if entry.withdrawn_by else said_words(entry.said, entry.is_erased),
        size=say.size(len(content)) if is_same else "",
        kept=say.state(
            is_withdrawn=bool(entry.withdrawn_by),
            is_kept=bool(kept),
            is_same=is_same,
            is_copy=bool(one.copy_sha256),
            is_shown=bool(picture or text),
        ),
        digest=one.sha256,
        copy=one.copy_sha256 or "",
        picture=picture,
        text=text,
    )


def one_page(content: bytes) -> str:
    """A text file that fits on a page, its lines wrapped; "" for anything else."""
    if not content.strip() or len(content) > _MOST_TEXT_BYTES:
        return ""
    is_wide = content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    try:
        text = content.decode("utf-16" if is_wide else "utf-8-sig")
    except UnicodeDecodeError:
        return ""
    if any(unicodedata.category(one) == "Cc" and one not in _SPACES for one in text):
        return ""
    if _piles_marks(text):
        return ""
    lines = [line for whole in text.splitlines() for line in _wrapped(whole.expandtabs(4))]
    return "\n".join(lines) if len(lines) <= _LINES else ""


def _piles_marks(text: str) -> bool:
    run = 0
    for one in text:
        run = run + 1 if unicodedata.category(one).startswith("M") else 0
        if run > _MOST_MARKS:
            return True
    return False


def _wrapped(line: str) -> list[str]:
    is_wide = wcswidth(line) > len(line)
    columns = _COLUMNS // 2 if is_wide else _COLUMNS
    return textwrap.wrap(line.rstrip(), columns, drop_whitespace=False) or [""]
