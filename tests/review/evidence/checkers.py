"""The two checkers, side by side: the ledger's own code, and the file that goes along."""

from __future__ import annotations

import hashlib
import sys
from collections.abc import Mapping
from pathlib import Path

import pytest

from ledger.errors import LedgerError
from ledger.review.evidence import check_bundle as alone
from ledger.review.evidence.archive import format_zip
from ledger.review.evidence.check import check_bundle
from ledger.review.evidence.reading import read_bundle

FOLDER = "evidence-late-plays"
TAGS = ("bag-info.txt", "bagit.txt", "manifest-sha256.txt", "manifest-sha512.txt", "signature.txt")


def own_verdict(path: Path) -> list[str]:
    """What the ledger's own check finds; nothing when the bundle holds."""
    try:
        return list(check_bundle(read_bundle(path)).checked.differences)
    except LedgerError as error:
        return [error.message]


def alone_verdict(path: Path, monkeypatch: pytest.MonkeyPatch) -> int:
    """The exit status of check_bundle.py; in this process, for a new one takes much longer."""
    monkeypatch.setattr(sys, "argv", ["check_bundle.py", str(path)])
    return alone.main()


def write_zip(folder: Path, files: Mapping[str, bytes]) -> Path:
    """These files as a well-formed zip."""
    path = folder / "bundle.zip"
    ordered = {f"{FOLDER}/{name}": files[name] for name in sorted(files)}
    path.write_bytes(format_zip(ordered))
    return path


def repaired(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """The files with manifests that fit them: an attacker without a key can do that much."""
    payload = sorted(path for path in files if path.startswith("data/"))
    made = dict(files)
    size = sum(len(files[path]) for path in payload)
    info = files["bag-info.txt"].decode().splitlines()
    info = [line for line in info if not line.startswith("Payload-Oxum")]
    made["bag-info.txt"] = "\n".join([*info, f"Payload-Oxum: {size}.{len(payload)}\n"]).encode()
    for name, listed in (("manifest", payload), ("tagmanifest", TAGS)):
        for kind in ("sha256", "sha512"):
            lines = [
                f"{hashlib.new(kind, made[path]).hexdigest()}  {path}\n"
                for path in listed
                if path in made
            ]
            made[f"{name}-{kind}.txt"] = "".join(lines).encode()
    return made
