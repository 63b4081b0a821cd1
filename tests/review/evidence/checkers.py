"""The two checkers, side by side: the ledger's own code, and the file that goes along."""

from __future__ import annotations

import hashlib
import sys
from collections.abc import Mapping
from pathlib import Path

import pytest

from ledger.errors import LedgerError
from ledger.review.evidence import check_bundle as alone
from ledger.review.evidence.archive import format_zip, read_bundle
from ledger.review.evidence.bag import make_bag
from ledger.review.evidence.check import check_bundle
from ledger.review.evidence.check_texts import facts_of, remade
from ledger.review.evidence.pack import proof_files
from ledger.review.evidence.statements import statements_csv
from ledger.say.bundles import bundle_texts
from ledger.store.chains import origin_in
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.check import check_proof
from ledger.witness.proof import Proof, format_proof
from tests.signed_season import CHAIN

FOLDER = "evidence-late-plays"
TAGS = ("bag-info.txt", "bagit.txt", "manifest-sha256.txt", "manifest-sha512.txt", "signature.txt")


def own_verdict(path: Path) -> list[str]:
    """What the ledger's own check finds; nothing when the bundle holds."""
    try:
        return list(check_bundle(read_bundle(path), bundle_texts).checked.differences)
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


def signed_anew(store: SqliteStore, files: Mapping[str, bytes]) -> dict[str, bytes]:
    """The bag made anew around these files, and signed with the chain's own key.

    Whoever holds the device can do that. What bag-info.txt says is kept, but for the size.
    """
    payload = {n.removeprefix("data/"): c for n, c in files.items() if n.startswith("data/")}
    lines = [line.split(": ", 1) for line in files["bag-info.txt"].decode().splitlines()]
    info = {key: value for key, value in lines if key != "Payload-Oxum"}
    origin = origin_in(store, CHAIN)
    private = store.key(origin)
    assert private is not None
    return make_bag(payload, info, origin, private)


def with_proof(store: SqliteStore, files: Mapping[str, bytes], proof: Proof) -> dict[str, bytes]:
    """The bundle around another proof: whatever follows from the proof is made anew, and signed.

    The packet is left out: it bears a proof of its own.
    """
    checked = check_proof(proof)
    kept = {
        path: content
        for path, content in files.items()
        if "/checkpoints/" not in path and path != "data/packet.pdf"
    }
    own = next(part for part in proof.chains if part.chain == CHAIN)
    kept |= {
        "data/events.json": format_proof(proof),
        "data/checkpoint.txt": own.note.encode(),
        "data/answers/statements.csv": statements_csv(checked),
    }
    kept |= {f"data/{path}": content for path, content in proof_files(proof).items()}
    payload = {n.removeprefix("data/"): c for n, c in kept.items() if n.startswith("data/")}
    facts = facts_of(kept["bag-info.txt"], payload, checked)
    kept |= {
        f"data/{path}": content for path, content in remade(facts, checked, bundle_texts).items()
    }
    return signed_anew(store, kept)


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
