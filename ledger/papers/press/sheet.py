"""What a paper is printed from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ledger.papers.press.finish import Attachment


@dataclass(frozen=True)
class Sheet:
    """What a paper is rendered from: its template, its context, the ledger's last time, and the
    files that go with it.

    `extensions` are the lines that its checkpoint has to bear.
    """

    document: str
    context: dict[str, Any]
    stamp: str
    attachments: tuple[Attachment, ...] = ()
    extensions: tuple[str, ...] = ()
