"""Attacks on a bundle: both checkers catch each of them.

BYTES and FILES are by somebody who cannot write manifests; LIES by one who can, and has no key;
the keeper of the ledger, who has its key, is the last. ZIPS and FOLDERS attack whoever unpacks.
"""

from __future__ import annotations

import base64
import io
import json
import os
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from ledger.chain.disclosure import digest_of, make_disclosure
from ledger.chain.note import format_note, sign_note
from ledger.review.evidence.archive import format_zip
from ledger.store.sqlite.store import SqliteStore
from tests.review.evidence.checkers import (
    FOLDER,
    alone_verdict,
    own_verdict,
    repaired,
    signed_anew,
    write_zip,
)
from tests.review.evidence.conftest import Bundle

Files = dict[str, bytes]


class Caught:
    """Says whether both checkers catch what lies at a path."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self._monkeypatch = monkeypatch

    def __call__(self, path: Path) -> bool:
        found, status = own_verdict(path), alone_verdict(path, self._monkeypatch)
        assert bool(found) == bool(status), (found, status)
        return bool(status)


@pytest.fixture
def is_caught(monkeypatch: pytest.MonkeyPatch) -> Caught:
    return Caught(monkeypatch)


def test_the_bundle_itself_holds(bundle: Bundle, tmp_path: Path, is_caught: Caught) -> None:
    (tmp_path / "as it came.zip").write_bytes(bundle.packed.data)
    assert not is_caught(tmp_path / "as it came.zip")
    assert not is_caught(write_zip(tmp_path, bundle.files))
    assert write_zip(tmp_path, bundle.files).read_bytes() == bundle.packed.data
    assert not is_caught(unpacked(bundle, tmp_path))


def unpacked(bundle: Bundle, tmp_path: Path) -> Path:
    with zipfile.ZipFile(io.BytesIO(bundle.packed.data)) as file:
        file.extractall(tmp_path)
    return tmp_path / FOLDER


PLACES = [n / 40 for n in range(40)]


@pytest.mark.parametrize("place", PLACES)
def test_one_byte_of_the_zip(
    bundle: Bundle, tmp_path: Path, is_caught: Caught, place: float
) -> None:
    data = bytearray(bundle.packed.data)
    data[int(len(data) * place)] ^= 1
    (tmp_path / "x.zip").write_bytes(data)
    assert is_caught(tmp_path / "x.zip")


@pytest.mark.parametrize("back", range(1, 23))
def test_one_byte_of_the_end_of_the_directory(
    bundle: Bundle, tmp_path: Path, is_caught: Caught, back: int
) -> None:
    """The 22 bytes that most programs look for first."""
    data = bytearray(bundle.packed.data)
    data[-back] ^= 1
    (tmp_path / "x.zip").write_bytes(data)
    assert is_caught(tmp_path / "x.zip")


PATHS = (
    "bag-info.txt", "bagit.txt", "manifest-sha256.txt", "manifest-sha512.txt", "signature.txt",
    "tagmanifest-sha256.txt", "tagmanifest-sha512.txt", "data/README.txt",
    "data/certification.txt", "data/check_bundle.py", "data/checkpoint.txt", "data/events.json",
    "data/keys.txt", "data/packet.pdf", "data/answers/eligibility.csv",
    "data/answers/dictionary.txt", "data/exhibits", "data/checkpoints",
)  # fmt: skip


def one(files: Files, path: str) -> str:
    return next(name for name in sorted(files) if name.startswith(path))


HARM: dict[str, Callable[[bytes], bytes]] = {
    "a bit": lambda data: data[: len(data) // 2] + bytes([data[len(data) // 2] ^ 1])
    + data[len(data) // 2 + 1 :],
    "a byte more": lambda data: data + b"\n",
    "a byte less": lambda data: data[:-1],
    "nothing left": lambda data: b"",
}  # fmt: skip


@pytest.mark.parametrize("path", PATHS)
@pytest.mark.parametrize("harm", HARM.values(), ids=HARM)
def test_one_file(
    bundle: Bundle,
    tmp_path: Path,
    is_caught: Caught,
    path: str,
    harm: Callable[[bytes], bytes],
) -> None:
    name = one(bundle.files, path)
    harmed = bundle.files | {name: harm(bundle.files[name])}
    assert is_caught(write_zip(tmp_path, harmed))


@pytest.mark.parametrize("path", PATHS)
def test_a_file_is_missing(bundle: Bundle, tmp_path: Path, is_caught: Caught, path: str) -> None:
    files = {name: c for name, c in bundle.files.items() if name != one(bundle.files, path)}
    assert is_caught(write_zip(tmp_path, files))


def with_proof(change: Callable[[dict[str, Any]], object]) -> Callable[[Files], Files]:
    """The lie of a changed events.json, written in its canonical form."""

    def lie(files: Files) -> Files:
        whole = json.loads(files["data/events.json"])
        change(whole)
        text = json.dumps(whole, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        return files | {"data/events.json": text.encode()}

    return lie


def edited(path: str, old: str, new: str) -> Callable[[Files], Files]:
    def lie(files: Files) -> Files:
        name = one(files, path)
        assert old.encode() in files[name]
        return files | {name: files[name].replace(old.encode(), new.encode(), 1)}

    return lie


def entry(whole: dict[str, Any], kind: str) -> dict[str, Any]:
    found: dict[str, Any]
    for found in whole["chains"][0]["events"]:
        if f'"kind":"{kind}"' in found["event"]:
            return found
    raise LookupError(kind)


def restate(kind: str, old: str, new: str) -> Callable[[dict[str, Any]], object]:
    def change(whole: dict[str, Any]) -> None:
        found = entry(whole, kind)
        assert old in found["event"]
        found["event"] = found["event"].replace(old, new, 1)

    return change


def rename(whole: dict[str, Any]) -> None:
    whole["disclosures"][0]["disclosure"] = make_disclosure("name", "Somebody Else")


def rename_in_both(whole: dict[str, Any]) -> None:
    """Another name, and its digest where the true one was recorded."""
    rename(whole)
    digest = digest_of(whole["disclosures"][0]["disclosure"])
    for found in whole["chains"][0]["events"]:
        event = json.loads(found["event"])
        if f"{event['chain']}:{event['seq']}" == whole["disclosures"][0]["event"]:
            old = event["data"]["digests"]["name"]
            found["event"] = found["event"].replace(old, digest)


def drop(kind: str) -> Callable[[dict[str, Any]], object]:
    def change(whole: dict[str, Any]) -> None:
        whole["chains"][0]["events"].remove(entry(whole, kind))

    return change


def with_another_key_id(files: Files) -> Files:
    """The line of a signature begins with 4 bytes that tell whose key it is."""
    before, _, encoded = files["signature.txt"].rpartition(b" ")
    data = bytearray(base64.b64decode(encoded))
    data[0] ^= 1
    return files | {"signature.txt": before + b" " + base64.b64encode(data) + b"\n"}


LIES: dict[str, Callable[[Files], Files]] = {
    "a ruling": with_proof(restate("ruling", '"upheld"', '"denied"')),
    "a weigh": with_proof(restate("weigh", '"ok"', '"over"')),
    "who weighed": with_proof(restate("weigh", '"by":"', '"by":"x')),
    "when it was recorded": with_proof(restate("weigh", '"recorded":"2', '"recorded":"1')),
    "a link": with_proof(restate("ruling", '"prev":"', '"prev":"0')),
    "a ruling is left out": with_proof(drop("ruling")),
    "the opening is left out": with_proof(drop("case_open")),
    "a key is left out": with_proof(drop("official_key")),
    "a name": with_proof(rename),
    "a name and its digest": with_proof(rename_in_both),
    "a text is left out": with_proof(lambda whole: whole["disclosures"].pop()),
    "a text twice": with_proof(lambda w: w["disclosures"].append(w["disclosures"][0])),
    "a hash": with_proof(lambda w: w["hashes"].__setitem__(5, "A" * 43 + "=")),
    "a path": with_proof(lambda w: entry(w, "ruling")["proof"].pop()),
    "the size": with_proof(lambda w: w["chains"][0].update(
        note=w["chains"][0]["note"].replace("\n7", "\n8", 1))),
    "an earlier checkpoint": with_proof(lambda w: w["chains"][0]["earlier"].pop()),
    "the order of earlier ones": with_proof(lambda w: w["chains"][0]["earlier"].reverse()),
    "spaces in the proof": edited("data/events.json", '":', '": '),
    "an exhibit": edited("data/exhibits", "four", "nine"),
    "an exhibit nobody handed in": lambda f: f | {f"data/exhibits/{'ab' * 32}.txt": b"new"},
    "the packet": lambda f: f | {"data/packet.pdf": f["data/packet.pdf"] + b"\n"},
    "an answer": edited("data/answers/eligibility.csv", "full", "none"),
    "the dictionary": edited("data/answers/dictionary.txt", "over", "ok"),
    "the readme": edited("data/README.txt", "python3", "python4"),
    "the checker": edited("data/check_bundle.py", "return 1 if faults", "return 0 if faults"),
    "the certification": edited("data/certification.txt", "nobody", "somebody"),
    "the keys": edited("data/keys.txt", "marmots", "wombats"),
    "a checkpoint's file": edited("data/checkpoints", "\n7", "\n8"),
    "checkpoint.txt": edited("data/checkpoint.txt", "\n7", "\n8"),
    "another checkpoint's name": lambda f: {
        (n.replace("-7", "-8") if n.startswith("data/checkpoints") else n): c
        for n, c in f.items()},
    "a packet where there was none": lambda f: f | {"data/packet2.pdf": b"%PDF"},
    "one table more": lambda f: f | {"data/answers/more.csv": b"a,b\n"},
    "a file of another kind": lambda f: f | {"data/run.exe": b"MZ"},
    "a folder of another kind": lambda f: f | {"data/more/x.csv": b"a\n"},
    "a tag file more": lambda f: f | {"fetch.txt": b"http://invented.example/ 1 data/x\n"},
    "the case": edited("bag-info.txt", "late-plays", "slow-answer"),
    "the league": edited("bag-info.txt", "Invented", "Imagined"),
    "another encoding": edited("bagit.txt", "UTF-8", "UTF-7"),
    "another version": edited("bagit.txt", "1.0", "0.97"),
    "the signature": edited("signature.txt", "manifest-sha256", "manifest-sha257"),
    "another key's id in the signature": with_another_key_id,
    "no signature": lambda f: f | {"signature.txt": b""},
    "two signatures": lambda f: f | {
        "signature.txt": f["signature.txt"] + f["signature.txt"].rpartition(b"\n\n")[2]},
}  # fmt: skip


@pytest.mark.parametrize("lie", LIES.values(), ids=LIES)
def test_a_lie_with_manifests_that_fit(
    bundle: Bundle, tmp_path: Path, is_caught: Caught, lie: Callable[[Files], Files]
) -> None:
    assert is_caught(write_zip(tmp_path, repaired(lie(bundle.files))))


def test_a_strangers_signature(bundle: Bundle, tmp_path: Path, is_caught: Caught) -> None:
    text = bundle.files["signature.txt"].decode().rpartition("\n\n")[0] + "\n"
    signed = format_note(sign_note(text, text.splitlines()[1], bytes(32)))
    assert is_caught(write_zip(tmp_path, repaired(bundle.files | {"signature.txt": signed})))


KEEPER = [name for name in LIES if name not in {
    # The keeper's own key may sign these: who finds them is said in test_files_changed.py.
    "the packet", "an answer", "the dictionary", "the readme", "the checker", "the certification",
    "one table more", "the league", "a text is left out", "a ruling is left out",
    "an earlier checkpoint", "the signature", "no signature", "two signatures",
    "another key's id in the signature",
    "another encoding", "another version", "a tag file more",
}]  # fmt: skip


@pytest.mark.parametrize("name", KEEPER)
def test_a_lie_that_the_ledgers_own_key_signed(
    ledger: SqliteStore, bundle: Bundle, tmp_path: Path, is_caught: Caught, name: str
) -> None:
    assert is_caught(write_zip(tmp_path, signed_anew(ledger, LIES[name](bundle.files))))


def zipped(files: Files, **more: Any) -> bytes:
    """A zip by Python's own writer, as an ordinary program would write it."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", **more) as file:
        for name, content in files.items():
            file.writestr(f"{FOLDER}/{name}", content)
    return made.getvalue()


def plus(name: str, content: bytes = b"x", **attributes: Any) -> Callable[[Bundle], bytes]:
    """The bundle with one more entry, by Python's own writer."""

    def attack(bundle: Bundle) -> bytes:
        made = io.BytesIO(bundle.packed.data)
        info = zipfile.ZipInfo(name)
        for key, value in attributes.items():
            setattr(info, key, value)
        with zipfile.ZipFile(made, "a") as file:
            file.writestr(info, content)
        return made.getvalue()

    return attack


def commented(bundle: Bundle) -> bytes:
    made = io.BytesIO(bundle.packed.data)
    with zipfile.ZipFile(made, "a") as file:
        file.comment = b"a comment"
    return made.getvalue()


def flagged(bundle: Bundle) -> bytes:
    """The bit that says: encrypted; in the local header and in the directory."""
    data = bytearray(bundle.packed.data)
    data[6] |= 1
    data[data.index(b"PK\1\2") + 8] |= 1
    return bytes(data)


def bomb(bundle: Bundle) -> bytes:
    return zipped(bundle.files | {"data/packet.pdf": bytes(50_000_000)},
                  compression=zipfile.ZIP_DEFLATED)  # fmt: skip


ZIPS: dict[str, Callable[[Bundle], bytes]] = {
    "compressed": lambda b: zipped(b.files, compression=zipfile.ZIP_DEFLATED),
    "a bomb": bomb,
    "written by another program": lambda b: zipped(b.files),
    "encrypted": flagged,
    "a comment": commented,
    "something before it": lambda b: b"#!/bin/sh\n" + b.packed.data,
    "something behind it": lambda b: b.packed.data + b"more",
    "two zips in a row": lambda b: b.packed.data * 2,
    "cut": lambda b: b.packed.data[:-30],
    "empty": lambda b: b"",
    "an empty zip": lambda b: b"PK\5\6" + bytes(18),
    "no zip": lambda b: b"%PDF-1.7",
    "a path that climbs": plus(f"{FOLDER}/../../outside.txt"),
    "an absolute path": plus("/etc/outside.txt"),
    "a drive": plus("C:/outside.txt"),
    "a backslash": plus(f"{FOLDER}\\data\\outside.txt"),
    "a backslash that climbs": plus("..\\outside.txt"),
    "another folder": plus("other/outside.txt"),
    "a file beside the folder": plus("outside.txt"),
    "a folder as an entry": plus(f"{FOLDER}/data/", b""),
    "a link": plus(f"{FOLDER}/data/link", b"/etc/passwd", external_attr=0o120777 << 16,
                   create_system=3),
    "a device": plus(f"{FOLDER}/data/device", b"", external_attr=0o020666 << 16, create_system=3),
    "a hidden file": plus(f"{FOLDER}/.hidden"),
    "a name with a letter of another script": plus(f"{FOLDER}/data/READМE.txt"),
    "a control character in a name": plus(f"{FOLDER}/data/\x1b[2J"),
    "an extra field": plus(f"{FOLDER}/data/x.txt", extra=b"\x01\x02\x00\x00"),
    "a time": plus(f"{FOLDER}/data/x.txt", date_time=(2026, 9, 5, 0, 0, 0)),
    "a stream's length behind it": plus(f"{FOLDER}/data/x.txt", flag_bits=8),
}  # fmt: skip


@pytest.mark.parametrize("attack", ZIPS.values(), ids=ZIPS)
def test_a_zip_that_is_no_bundle(
    bundle: Bundle, tmp_path: Path, is_caught: Caught, attack: Callable[[Bundle], bytes]
) -> None:
    (tmp_path / "x.zip").write_bytes(attack(bundle))
    assert is_caught(tmp_path / "x.zip")


@pytest.mark.filterwarnings("ignore:Duplicate name")
@pytest.mark.parametrize("path", ["data/README.txt", "data/packet.pdf"])
def test_a_file_twice(bundle: Bundle, tmp_path: Path, is_caught: Caught, path: str) -> None:
    """One program would show the first, another the second."""
    (tmp_path / "x.zip").write_bytes(plus(f"{FOLDER}/{path}")(bundle))
    assert is_caught(tmp_path / "x.zip")


def test_an_empty_file_twice_in_a_zip_of_our_own_form(
    bundle: Bundle, tmp_path: Path, is_caught: Caught
) -> None:
    one_more = {f"{FOLDER}/{name}": content for name, content in bundle.files.items()}
    data = format_zip(one_more | {f"{FOLDER}/data/x": b"", f"{FOLDER}/data/y": b""})
    (tmp_path / "x.zip").write_bytes(data.replace(b"/data/y", b"/data/x"))
    assert is_caught(tmp_path / "x.zip")


FOLDERS: dict[str, Callable[[Path], object]] = {
    "one file more": lambda p: (p / "data/more.txt").write_text("x"),
    "one tag file more": lambda p: (p / "more.txt").write_text("x"),
    "a hidden file": lambda p: (p / "data/.hidden").write_text("x"),
    "an empty folder": lambda p: (p / "data/more").mkdir(),
    "a link to a file": lambda p: (p / "data/link.txt").symlink_to("/etc/hostname"),
    "a link to a folder": lambda p: (p / "data/link").symlink_to("/etc"),
    "a file that is a link to its twin": lambda p: twin(p),
    "a pipe": lambda p: os.mkfifo(p / "data/pipe"),
    "a file is gone": lambda p: (p / "data/keys.txt").unlink(),
}


def twin(folder: Path) -> None:
    (folder / "data/README.txt").rename(folder.parent / "README.txt")
    (folder / "data/README.txt").symlink_to(folder.parent / "README.txt")


@pytest.mark.parametrize("attack", FOLDERS.values(), ids=FOLDERS)
def test_a_folder_that_is_no_bundle(
    bundle: Bundle, tmp_path: Path, is_caught: Caught, attack: Callable[[Path], object]
) -> None:
    folder = unpacked(bundle, tmp_path)
    attack(folder)
    assert is_caught(folder)
