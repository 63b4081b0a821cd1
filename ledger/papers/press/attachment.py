"""A file that a paper carries."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Attachment:
    """A file attached to a paper.

    `relationship` is one of PDF's: Source, Data, Alternative, Supplement, Unspecified.
    `media_type` is like `application/json`; `description` is for people.
    """

    name: str
    content: bytes
    media_type: str
    description: str
    relationship: str = "Data"
