"""The BagIt layout of a bundle (RFC 8493): the payload is below data/, manifests list all of it.

    bagit.txt                  version 1.0, UTF-8
    bag-info.txt               league, season, case, program, size in bytes
    manifest-sha256.txt        the digest of every file below data/; and with SHA-512
    signature.txt              a signed note (c2sp.org/signed-note): the ledger's own key signs
                               both manifests and bag-info.txt
    tagmanifest-sha256.txt     the digest of every file above; and with SHA-512

A manifest has one form only (by path in code point order, two spaces, lower case), so writing it
again checks it. Digests alone show damage; the signature shows who made the bundle.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence

from ledger.chain.note import Note, VerifierKey, check_note, format_note, parse_note, sign_note
from ledger.errors import InputError, IntegrityError
from ledger.witness.checked import Differences

BAGIT = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
ALGORITHMS = ("sha256", "sha512")
PAYLOAD = "data/"
SIGNATURE = "signature.txt"
_MANIFESTS = tuple(f"manifest-{name}.txt" for name in ALGORITHMS)
_TAGS = ("bagit.txt", "bag-info.txt", *_MANIFESTS, SIGNATURE)
_TAG_MANIFESTS = tuple(f"tagmanifest-{name}.txt" for name in ALGORITHMS)
_SIGNED = ("bag-info.txt", *_MANIFESTS)
_TITLE = "weighbook-evidence/v1"


def make_bag(
    payload: Mapping[str, bytes], info: dict[str, str], origin: str, private: bytes
) -> dict[str, bytes]:
    """Return every file of the bag, with the payload, by path in code point order.

    `payload` is by path below data/; `info` are the elements of bag-info.txt except the payload's
    size; `private` is the key of the chain with this `origin`.
    """
    files = {PAYLOAD + path: payload[path] for path in sorted(payload)}
    lines = [f"{key}: {value}\n" for key, value in (info | _oxum(files)).items()]
    files["bagit.txt"] = BAGIT
    files["bag-info.txt"] = "".join(lines).encode()
    files |= _manifests(_MANIFESTS, files, _payload_of(files))
    files[SIGNATURE] = format_note(sign_note(_signed_text(files, origin), origin, private))
    files |= _manifests(_TAG_MANIFESTS, files, _TAGS)
    return {path: files[path] for path in sorted(files)}


def check_bag(files: Mapping[str, bytes], found: Differences) -> dict[str, bytes]:
    """Return the payload by path below data/; add what is wrong with the bag to `found`."""
    expected = {*_TAGS, *_TAG_MANIFESTS}
    found += [f"{path}: missing" for path in sorted(expected - files.keys())]
    found += [
        f"{path}: not a file of the bundle"
        for path in sorted(files.keys() - expected)
        if not path.startswith(PAYLOAD)
    ]
    if files.get("bagit.txt", BAGIT) != BAGIT:
        found.append("bagit.txt: not BagIt 1.0 in UTF-8")
    paths = _payload_of(files)
    oxum = f"\nPayload-Oxum: {_oxum(files)['Payload-Oxum']}\n"
    if oxum.encode() not in files.get("bag-info.txt", b""):
        found.append("bag-info.txt: it gives another size of the payload")
    for manifests, listed in ((_MANIFESTS, paths), (_TAG_MANIFESTS, _TAGS)):
        for name, written in _manifests(manifests, files, listed).items():
            if name in files and files[name] != written:
                found += _manifest_differences(name, files[name], written)
    return {path.removeprefix(PAYLOAD): files[path] for path in paths}


def check_bag_signature(
    files: Mapping[str, bytes], keys: Sequence[VerifierKey], found: Differences
) -> VerifierKey | None:
    """Return the key, one of `keys`, that signed the bag; None, with a difference, if none did."""
    with found.noting(SIGNATURE):
        note: Note = parse_note(files.get(SIGNATURE, b""))
        (key, *_) = check_note(note, keys)
        if any(path not in files for path in _SIGNED) or note.text != _signed_text(files, key.name):
            raise IntegrityError("the key signed other manifests")
        if len(note.signatures) != 1:
            raise InputError("more signatures than the ledger's own")
        return key
    return None


def _payload_of(files: Mapping[str, bytes]) -> list[str]:
    return sorted(path for path in files if path.startswith(PAYLOAD))


def _oxum(files: Mapping[str, bytes]) -> dict[str, str]:
    sizes = [len(files[path]) for path in _payload_of(files)]
    return {"Payload-Oxum": f"{sum(sizes)}.{len(sizes)}"}


def _signed_text(files: Mapping[str, bytes], origin: str) -> str:
    digests = [f"sha256 {name} {hashlib.sha256(files[name]).hexdigest()}\n" for name in _SIGNED]
    # The second line is not a number, so nobody can take this for a checkpoint.
    return "".join([f"{_TITLE}\n", f"{origin}\n", *digests])


def _manifests(
    names: Sequence[str], files: Mapping[str, bytes], listed: Sequence[str]
) -> dict[str, bytes]:
    written = {}
    for name, algorithm in zip(names, ALGORITHMS, strict=True):
        lines = [
            f"{hashlib.new(algorithm, files[path]).hexdigest()}  {path}\n"
            for path in sorted(listed)
            if path in files
        ]
        written[name] = "".join(lines).encode()
    return written


def _manifest_differences(name: str, there: bytes, right: bytes) -> list[str]:
    had, has = (set(text.decode("utf-8", "replace").splitlines()) for text in (there, right))
    paths = sorted({line.partition("  ")[2] for line in had ^ has})
    lines = [f"{name}: {path[:200]!r} is not as listed" for path in paths]
    return lines or [f"{name}: not in the form that weighbook writes"]
