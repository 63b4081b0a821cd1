"""The BagIt layout of a bundle (RFC 8493): payload below data/, manifests of all of it.

    bagit.txt                  version 1.0, UTF-8
    bag-info.txt               what it is, of whom, how many bytes
    manifest-sha256.txt        every file below data/, by digest; and with SHA-512
    signature.txt              a signed note (c2sp.org/signed-note) of the ledger's own key over
                               both manifests and bag-info.txt
    tagmanifest-sha256.txt     every file above, by digest; and with SHA-512

A manifest is written in one way (by path in code point order, two spaces, lower case), so it is
checked by writing it again. Digests alone show damage; the signature shows who made the bundle.
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
    payload: Mapping[str, bytes], info: Mapping[str, str], origin: str, private: bytes
) -> dict[str, bytes]:
    """Every file of the bag, payload included, by path in code point order.

    `payload` is by path below data/; `info` are the elements of bag-info.txt but for the payload's
    size; `private` is the key of the chain whose `origin` it is.
    """
    files = {PAYLOAD + path: payload[path] for path in sorted(payload)}
    oxum = f"{sum(map(len, payload.values()))}.{len(payload)}"
    lines = [f"{key}: {value}\n" for key, value in {**info, "Payload-Oxum": oxum}.items()]
    files["bagit.txt"] = BAGIT
    files["bag-info.txt"] = "".join(lines).encode()
    files |= _manifests(_MANIFESTS, files, _payload_of(files))
    files[SIGNATURE] = format_note(sign_note(_signed_text(files, origin), origin, private))
    files |= _manifests(_TAG_MANIFESTS, files, _TAGS)
    return {path: files[path] for path in sorted(files)}


def check_bag(files: Mapping[str, bytes], found: Differences) -> dict[str, bytes]:
    """The payload, by path below data/; what is wrong with the bag is added to `found`."""
    expected = {*_TAGS, *_TAG_MANIFESTS}
    found += [f"{path}: missing" for path in sorted(expected - files.keys())]
    found += [
        f"{path}: not a file of the bundle"
        for path in sorted(files.keys() - expected)
        if not path.startswith(PAYLOAD)
    ]
    if files.get("bagit.txt", BAGIT) != BAGIT:
        found.append("bagit.txt: not that of BagIt 1.0 in UTF-8")
    paths = _payload_of(files)
    oxum = f"\nPayload-Oxum: {sum(len(files[path]) for path in paths)}.{len(paths)}\n"
    if oxum.encode() not in files.get("bag-info.txt", b""):
        found.append("bag-info.txt: it tells another size of the payload")
    for manifests, listed in ((_MANIFESTS, paths), (_TAG_MANIFESTS, _TAGS)):
        for name, written in _manifests(manifests, files, listed).items():
            if name in files and files[name] != written:
                found += _manifest_differences(name, files[name], written)
    return {path.removeprefix(PAYLOAD): files[path] for path in paths}


def check_bag_signature(
    files: Mapping[str, bytes], keys: Sequence[VerifierKey], found: Differences
) -> VerifierKey | None:
    """The chain's key, one of `keys`, that signed the bag; None with a difference when none did."""
    with found.noting(SIGNATURE):
        note: Note = parse_note(files.get(SIGNATURE, b""))
        (key, *_) = check_note(note, keys)
        if any(path not in files for path in _SIGNED) or note.text != _signed_text(files, key.name):
            raise IntegrityError("the key signed other manifests than these")
        if len(note.signatures) != 1:
            raise InputError("more signatures than that of the ledger")
        return key
    return None


def _payload_of(files: Mapping[str, bytes]) -> list[str]:
    return sorted(path for path in files if path.startswith(PAYLOAD))


def _signed_text(files: Mapping[str, bytes], origin: str) -> str:
    digests = [f"sha256 {name} {hashlib.sha256(files[name]).hexdigest()}\n" for name in _SIGNED]
    # Its second line is no number, so that it can never be taken for a checkpoint.
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
    return [f"{name}: {path[:200]!r} is not as listed" for path in paths] or [
        f"{name}: not written as a manifest of weighbook"
    ]
