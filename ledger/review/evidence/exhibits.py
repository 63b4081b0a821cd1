"""The files of a case, out of the ledger and into a bundle."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath

from ledger.store.store import Store

_SUFFIX = re.compile(r"\.[a-z0-9]{1,8}")


@dataclass(frozen=True)
class KeptFile:
    """A file as it was handed in."""

    name: str
    content: bytes


def read_exhibits(store: Store, digests: Mapping[str, str]) -> dict[str, KeptFile]:
    """Those of these files that the ledger keeps, by SHA-256 (hex)."""
    kept = ((each, store.exhibit(each)) for each in sorted(digests))
    return {each: KeptFile(*file) for each, file in kept if file}


def bundle_name(sha256: str, name: str) -> str:
    """Its name in the bundle: the digest, and the suffix; what it was called may name a child.

    >>> bundle_name("ab" * 32, "Ann's sheet.PDF") == "ab" * 32 + ".pdf"
    True
    """
    suffix = PurePosixPath(name).suffix.lower()
    return sha256 + (suffix if _SUFFIX.fullmatch(suffix) else "")
