"""What the papers for people in a bundle say of it; their words come from `ledger.say.bundles`."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from hashlib import sha256

from ledger.chain.checkpoint import Checkpoint
from ledger.witness.checked import CheckedProof


@dataclass(frozen=True)
class Facts:
    """What the papers say of the bundle; `digests` are of payload files, by path below data/."""

    league: str
    season: str
    case: str
    games: tuple[str, ...]
    software: str
    states: tuple[Checkpoint, ...]
    digests: Mapping[str, str]


def digests_of(files: Mapping[str, bytes]) -> dict[str, str]:
    """SHA-256 (hex) of each file, by path."""
    return {path: sha256(content).hexdigest() for path, content in sorted(files.items())}


Texts = Callable[[Facts, CheckedProof], Mapping[str, str]]
"""Writes README.txt and certification.txt, by path below data/."""
