"""A paper ready to print."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ledger.papers.press.attachment import Attachment


@dataclass(frozen=True)
class Sheet:
    """A template's name, its context, the time of the ledger's last event, attached files.

    `extensions` are the lines that its checkpoint must have.
    """

    document: str
    context: dict[str, Any]
    stamp: str
    attachments: tuple[Attachment, ...] = ()
    extensions: tuple[str, ...] = ()
