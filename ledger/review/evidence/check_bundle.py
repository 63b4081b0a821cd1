#!/usr/bin/env python3
"""Check an evidence bundle of weighbook without trusting whoever made it.

    python3 -I data/check_bundle.py              the folder that this file was unpacked to
    python3 -I check_bundle.py evidence-X.zip    the zip as it came, or another folder

Python 3.9 or later and its standard library: nothing is installed, fetched or written. It shares
no code with the program that made the bundle. Read it before you rely on it. Exit status 0: all
holds; 1: something does not. Formats: BagIt (RFC 8493), hash trees (RFC 9162), Ed25519 (RFC 8032),
signed notes and checkpoints (c2sp.org), canonical JSON (RFC 8785), disclosures (RFC 9901).
"""

from __future__ import annotations

import base64
import hashlib
import json
import os
import re
import stat
import struct
import sys
import zlib
from datetime import datetime, timedelta
from typing import Any

MOST_BYTES = 512 * 1024 * 1024
PART = "[A-Za-z0-9_-](?:[A-Za-z0-9._-]{0,200}[A-Za-z0-9_-])?"
NAME = re.compile(f"{PART}(?:/{PART}){{0,5}}")
TAGS = ["bag-info.txt", "bagit.txt", "manifest-sha256.txt", "manifest-sha512.txt", "signature.txt"]
SIGNED = ["bag-info.txt", "manifest-sha256.txt", "manifest-sha512.txt"]
ALWAYS = ["README.txt", "certification.txt", "check_bundle.py", "checkpoint.txt", "events.json",
          "keys.txt", "answers/dictionary.txt"]  # fmt: skip
MAYBE = re.compile(r"packet\.pdf|answers/[a-z_]+\.csv|exhibits/([0-9a-f]{64})(?:\.[a-z0-9]{1,8})?")
HANDED_IN = {"case_exhibit": "value", "redaction": "after", "countersign": "scan"}


class Fault(Exception):  # noqa: N818 - it is the bundle's fault, not the program's error
    """Something in the bundle is not as it should be."""


def need(condition: object, what: str) -> None:
    if not condition:
        raise Fault(what)


# The files: a folder, or a zip that may be written in one way only.
def read_folder(path: str) -> dict[str, bytes]:
    files, total = {}, 0
    for folder, folders, names in os.walk(path):
        need(folders or names, f"an empty folder: {folder}")
        for full in (os.path.join(folder, name) for name in folders + names):
            inside, status = os.path.relpath(full, path).replace(os.sep, "/"), os.lstat(full)
            if stat.S_ISDIR(status.st_mode):
                continue
            need(stat.S_ISREG(status.st_mode) and NAME.fullmatch(inside), f"no file: {inside!r}")
            total += status.st_size
            need(total <= MOST_BYTES, "larger than a bundle may be")
            with open(full, "rb") as file:
                files[inside] = file.read()
    return files


def read_zip(path: str) -> dict[str, bytes]:
    """Nothing is compressed; all headers are rebuilt and compared, so no trick has room in them."""
    with open(path, "rb") as file:
        data = file.read(MOST_BYTES + 1)
    need(len(data) <= MOST_BYTES, "larger than a bundle may be")
    files, at, directory = {}, 0, b""
    while data[at : at + 4] == b"PK\3\4":
        size, _, length = struct.unpack("<IIH", data[at + 18 : at + 28].ljust(10))
        name = data[at + 30 : at + 30 + length].decode("ascii", "replace")
        content = data[at + 30 + length : at + 30 + length + size]
        common = struct.pack("<HHHHIII", 0, 0, 0, 33, zlib.crc32(content), len(content), size)
        head = struct.pack("<4sH", b"PK\3\4", 20) + common + struct.pack("<HH", length, 0)
        need(data[at : at + 30] == head and NAME.fullmatch(name), f"not of a bundle: {name!r}")
        need(name not in files, f"twice in it: {name}")
        files[name] = content
        directory += struct.pack("<4sHH", b"PK\1\2", 0x0314, 20) + common
        directory += struct.pack("<5H2I", length, 0, 0, 0, 0, 0o100644 << 16, at) + name.encode()
        at += 30 + length + size
    end = struct.pack("<4s4H2IH", b"PK\5\6", 0, 0, *[len(files)] * 2, len(directory), at, 0)
    need(files and data[at:] == directory + end, "not the zip of a bundle, or something was added")
    tops = {name.split("/")[0] if "/" in name else "" for name in files}
    need(len(tops) == 1 and "" not in tops, "not one folder")
    return {name.split("/", 1)[1]: content for name, content in files.items()}


def check_bag(files: dict[str, bytes]) -> None:
    """Every file is listed in the manifests by both digests, and nothing else is there."""
    payload = sorted(path for path in files if path.startswith("data/"))
    tags = {*TAGS, "tagmanifest-sha256.txt", "tagmanifest-sha512.txt"}
    odd = tags ^ ({*files} - {*payload})
    need(not odd, f"missing, or not files of a bundle: {sorted(odd)}")
    bagit = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
    need(files["bagit.txt"] == bagit, "bagit.txt is not that of version 1.0 in UTF-8")
    for kind in ("sha256", "sha512"):
        for name, listed in ((f"manifest-{kind}.txt", payload), (f"tagmanifest-{kind}.txt", TAGS)):
            digests = [(hashlib.new(kind, files[path]).hexdigest(), path) for path in listed]
            right = "".join(f"{digest}  {path}\n" for digest, path in digests)
            there = files[name].decode()
            odd = {line[-60:] for line in {*right.split("\n")} ^ {*there.split("\n")}}
            need(there == right, f"{name} does not fit {sorted(odd)}")


# Ed25519, slow and plain: a point is (X, Y, Z, T) with x = X/Z, y = Y/Z, xy = T/Z.
PRIME = 2**255 - 19
ORDER = 2**252 + 27742317777372353535851937790883648493
CURVE_D = -121665 * pow(121666, PRIME - 2, PRIME) % PRIME


def point_add(p: Any, q: Any) -> Any:
    a, b = (p[1] - p[0]) * (q[1] - q[0]) % PRIME, (p[1] + p[0]) * (q[1] + q[0]) % PRIME
    c, d = 2 * p[3] * q[3] * CURVE_D % PRIME, 2 * p[2] * q[2] % PRIME
    e, f, g, h = b - a, d - c, d + c, b + a
    return e * f % PRIME, g * h % PRIME, f * g % PRIME, e * h % PRIME


def point_times(number: int, p: Any) -> Any:
    result: Any = (0, 1, 1, 0)
    while number:
        result = point_add(result, p) if number & 1 else result
        p, number = point_add(p, p), number >> 1
    return result


def read_point(data: bytes) -> Any:
    y = int.from_bytes(data, "little")
    sign, y = y >> 255, y & (1 << 255) - 1
    square = (y * y - 1) * pow(CURVE_D * y * y + 1, PRIME - 2, PRIME) % PRIME
    x = pow(square, (PRIME + 3) // 8, PRIME)
    x = x if (x * x - square) % PRIME == 0 else x * pow(2, (PRIME - 1) // 4, PRIME) % PRIME
    need(y < PRIME and (x * x - square) % PRIME == 0 and (x or not sign), "not a public key")
    x = x if x & 1 == sign else PRIME - x
    return x, y, 1, x * y % PRIME


def is_signed(public: bytes, message: bytes, signature: bytes) -> bool:
    """Whether the signature over the message is that of the public key (RFC 8032 5.1.7)."""
    if len(public) != 32 or len(signature) != 64:
        return False
    s = int.from_bytes(signature[32:], "little")
    k = int.from_bytes(hashlib.sha512(signature[:32] + public + message).digest(), "little")
    base = read_point((4 * pow(5, PRIME - 2, PRIME) % PRIME).to_bytes(32, "little"))
    minus = point_times(ORDER - k % ORDER, read_point(public))
    x, y, z, _ = point_add(point_times(s, base), minus)
    x, y = (value * pow(z, PRIME - 2, PRIME) % PRIME for value in (x, y))
    return s < ORDER and (y | (x & 1) << 255).to_bytes(32, "little") == signature[:32]


# Hash trees: roots and proofs.
def leaf_hash(text: str) -> bytes:
    return hashlib.sha256(b"\0" + text.encode()).digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    return hashlib.sha256(b"\1" + left + right).digest()


def climb(at: int, last: int, start: bytes, path: list[bytes]) -> tuple[bytes, bytes]:
    """Both proofs of RFC 9162 climb alike: the root of the smaller tree, and of the whole."""
    old = new = start
    for step in path:
        need(last, "a proof is too long")
        if at & 1 or at == last:
            old, new = node_hash(step, old), node_hash(step, new)
            while at and not at & 1:
                at, last = at >> 1, last >> 1
        else:
            new = node_hash(new, step)
        at, last = at >> 1, last >> 1
    need(last == 0, "a proof is too short")
    return old, new


def check_continued(old: dict[str, Any], new: dict[str, Any], path: list[bytes]) -> None:
    need(0 < old["size"] < new["size"], "an earlier checkpoint is not earlier")
    at, last = old["size"] - 1, new["size"] - 1
    path = path if old["size"] & at else [old["root"], *path]  # a whole tree is its own start
    while at & 1:
        at, last = at >> 1, last >> 1
    need(path, "a proof is empty")
    roots = climb(at, last, path[0], path[1:])
    need(roots == (old["root"], new["root"]), "a checkpoint does not continue an earlier one")


# Keys, notes, checkpoints.
def unbase64(text: str) -> bytes:
    data = base64.b64decode(text, validate=True)
    need(base64.b64encode(data).decode() == text, "base64 in another form")
    return data


def read_key(line: str) -> dict[str, Any]:
    """A verifier key: name+id+base64(type || public key)."""
    name, key_id, encoded = line.split("+", 2)
    data = unbase64(encoded)
    right = hashlib.sha256(name.encode() + b"\n" + data).hexdigest()[:8]
    need(key_id == right and len(data) == 33 and data[0] in (1, 4), f"not a key: {line}")
    return {"line": line, "name": name, "id": key_id, "kind": data[0], "public": data[1:]}


def read_state(note: str, own: dict[str, Any], keys: list[dict[str, Any]]) -> dict[str, Any]:
    """A checkpoint that its ledger's own key signed: size, root, cosigners with their times."""
    need(not re.search(r"[\0-\x09\x0b-\x1f]", note), "not a note")
    text, empty, below = note.rpartition("\n\n")
    text += "\n"
    origin, size, root = text.split("\n")[:3]
    is_form = empty and re.fullmatch(r"0|[1-9][0-9]{0,18}", size) and below.endswith("\n")
    state: dict[str, Any] = {"size": int(size), "root": unbase64(root), "by": [], "note": note}
    need(is_form and len(state["root"]) == 32 and origin == own["name"], "not its checkpoint")
    signers: list[Any] = []
    for line in below[:-1].split("\n"):
        dash, name, encoded = line.split(" ")
        data = unbase64(encoded)
        need(dash == "—" and name and len(data) > 4, "not a signature line")
        for key in (key for key in keys if (key["name"], key["id"]) == (name, data[:4].hex())):
            message, signature = text, data[4:]
            if key["kind"] == 4:
                time, signature = int.from_bytes(data[4:12], "big"), data[12:]
                message = f"cosignature/v1\ntime {time}\n{text}"
                state["by"].append((key, time))
            is_good = is_signed(key["public"], message.encode(), signature)
            need(is_good, f"the signature of {name} does not belong to this text")
            signers.append(key)
    need(own in signers and len(signers) == below.count("\n"), "a key that signed is not here")
    return state


# The statements and their proof: data/events.json.
def load_json(text: str) -> Any:
    """JSON in its canonical form, so that there is one text for each value."""
    value = json.loads(text)
    again = json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    need(again == text, "not canonical JSON")
    return value


def read_proof(data: bytes) -> tuple[dict[str, Any], dict[str, Any]]:
    """The proof, its places in the table made hashes; and every event by id, links checked."""
    whole = load_json(data.decode())
    is_known = str([whole.get("format"), whole.get("v")]) == "['weighbook-proof', 1]"
    need(is_known and len(whole) == 6, "not a proof, or of a version not known here")
    table = [unbase64(each) for each in whole["hashes"]]
    entries = [each for part in whole["chains"] for each in part["earlier"] + part["events"]]
    used = dict.fromkeys(place for entry in entries for place in entry["proof"])
    is_form = str([*used]) == str([*range(len(table))]) and all(len(each) == 32 for each in table)
    is_form = is_form and all(len(each) == 2 for each in entries + whole["disclosures"])
    names = [(part["chain"], len(part)) for part in whole["chains"]]
    is_form = is_form and names == sorted({(name, 4) for name, _ in names})
    need(is_form and whole["keys"] == sorted({*whole["keys"]}), "not in the one form of a proof")
    events: dict[str, Any] = {}
    for part in whole["chains"]:
        seq, before = 0, "00" * 32
        for entry in part["events"]:
            event = load_json(entry["event"])
            name = f"{event['chain']}:{event['seq']}"
            need(event["chain"] == part["chain"] and event["seq"] > seq, f"{name}: a wrong place")
            is_linked = event["seq"] > seq + 1 or event["prev"] == before
            need(is_linked, f"{name} names another entry as the one before it")
            seq, before = event["seq"], leaf_hash(entry["event"]).hex()
            events[name] = event
    for entry in entries:
        entry["proof"] = [table[place] for place in entry["proof"]]
    return whole, events


def check_chain(part: dict[str, Any], keys: list[Any], events: dict[str, Any]) -> list[Any]:
    """The chain's checkpoint and earlier ones, each signed; every event is in the tree."""
    own = [key for key in keys if key["line"] == events[f"{part['chain']}:1"]["data"]["key"]]
    need(own and events[f"{part['chain']}:1"]["kind"] == "chain_key", "no key of the chain")
    states = [read_state(part["note"], own[0], keys)]
    for entry in part["earlier"]:
        states.append(read_state(entry["note"], own[0], keys))
        check_continued(states[-1], states[0], entry["proof"])
        need(len(states) == 2 or states[-2]["size"] < states[-1]["size"], "states in disorder")
    for entry in part["events"]:
        seq, leaf = json.loads(entry["event"])["seq"], leaf_hash(entry["event"])
        need(0 < seq <= states[0]["size"], f"{part['chain']}:{seq} is not in the tree")
        _, root = climb(seq - 1, states[0]["size"] - 1, leaf, entry["proof"])
        need(root == states[0]["root"], f"{part['chain']}:{seq} is not what was signed")
    for state in states:
        for key, _ in state["by"]:
            about = [e for e in events.values() if e["kind"] in ("official_key", "key_revoked")]
            here = [e for e in about if e["chain"] == part["chain"] and e["seq"] < state["size"]]
            own = [e for e in here if e["data"]["key"].split("+")[0] == key["name"]]
            latest = own[-1:] + [e for e in about if e["chain"] != part["chain"]]
            stated = [e["data"]["key"] for e in latest if e["kind"] == "official_key"]
            need(key["line"] in stated, f"the key of {key['owner']} was not in force then")
    return states


def check_proof(data: bytes) -> tuple[dict[str, Any], list[Any], dict[str, Any], list[Any]]:
    """The proof, its keys, its events by id, and the states that were signed."""
    whole, events = read_proof(data)
    keys = [read_key(line) for line in whole["keys"]]
    for key in keys:
        kind, owner = ("official_key", "official") if key["kind"] == 4 else ("chain_key", "origin")
        stated = [e["data"] for e in events.values() if e["kind"] == kind]
        owners = [each[owner] for each in stated if each["key"] == key["line"]]
        need(owners, f"no entry here states the key of {key['name']}")
        key["owner"] = owners[0]
        need(key["name"].split("@")[0] == owners[0], f"the key of {owners[0]} has another name")
    states = [state for part in whole["chains"] for state in check_chain(part, keys, events)]
    signers = [key for state in states for key, _ in state["by"]]
    idle = [key["name"] for key in keys if key["kind"] == 4 and key not in signers]
    need(not idle, f"keys that signed nothing here: {idle}")
    for shown in whole["disclosures"]:
        text, digests = shown["disclosure"], events[shown["event"]]["data"]["digests"]
        raw = base64.urlsafe_b64encode(hashlib.sha256(text.encode()).digest())
        _, field, value = json.loads(base64.urlsafe_b64decode(text + "=" * (-len(text) % 4)))
        is_recorded = digests[field] == raw.decode().rstrip("=")
        need(is_recorded, f"the {field} shown for {shown['event']} is not the one recorded")
        shown["says"] = f"{shown['event']}, {field}: {value}"
    once = {(shown["event"], shown["disclosure"]) for shown in whole["disclosures"]}
    need(len(once) == len(whole["disclosures"]), "something is disclosed twice")
    return whole, keys, events, states


def check_files(files: dict[str, bytes], proof: Any) -> None:
    """The other files say what the proof says, and the ledger's own key signed the manifests."""
    whole, keys, events, _ = proof
    right = {"keys.txt": "".join(f"{key['line']}\n" for key in keys).encode()}
    for part in whole["chains"]:
        for note in (part["note"], *(entry["note"] for entry in part["earlier"])):
            right[f"checkpoints/{part['chain']}-{note.split()[1]}.txt"] = note.encode()
    notes = [part["note"].encode() for part in whole["chains"]]
    need(files["data/checkpoint.txt"] in notes, "data/checkpoint.txt is not that of events.json")
    for path in {*ALWAYS, *right}:
        there = files.get(f"data/{path}")
        is_right = there is not None and there == right.get(path, there)
        need(is_right, f"data/{path} is missing, or not that of events.json")
    handed_in = [event["data"].get(HANDED_IN.get(event["kind"])) for event in events.values()]
    for path in {name[5:] for name in files if name.startswith("data/")} - {*ALWAYS, *right}:
        match = MAYBE.fullmatch(path)
        need(match, f"not a file of a bundle: data/{path}")
        digest, found = match[1], hashlib.sha256(files[f"data/{path}"]).hexdigest()  # type: ignore[index]
        need(not digest or (digest == found and digest in handed_in), f"not handed in: data/{path}")
    case = re.search(r"^External-Identifier: (.+)$", files["bag-info.txt"].decode(), re.MULTILINE)
    opened = [e["data"].get("case") for e in events.values() if e["kind"] == "case_open"]
    need(case and case[1] in opened, "no entry here opens the case that bag-info.txt names")
    text, _, line = files["signature.txt"].decode().rpartition("\n\n")
    own = [key for key in keys if key["kind"] == 1 and line.startswith(f"— {key['name']} ")]
    need(own, "no ledger of this bundle signed its manifests")
    digests = [f"sha256 {name} {hashlib.sha256(files[name]).hexdigest()}\n" for name in SIGNED]
    signed = f"weighbook-evidence/v1\n{own[0]['name']}\n{''.join(digests)}"
    data = unbase64(line.split(" ")[2][:-1])
    need(line.endswith("\n") and data[:4].hex() == own[0]["id"], "signature.txt has another form")
    is_good = text + "\n" == signed and is_signed(own[0]["public"], signed.encode(), data[4:])
    need(is_good, "the ledger's key signed other manifests than these")


def report(proof: Any) -> None:
    whole, keys, events, states = proof
    print(f"Proved: {len(events)} entries, letter for letter, each at its place in the ledger:")
    for state in sorted(states, key=lambda state: -state["size"]):
        print(f"  {state['size']} entries, signed by {plain(state['note'].splitlines()[0])}")
        for key, time in state["by"]:
            when = datetime(1970, 1, 1) + timedelta(seconds=time)
            print(f"    and by {plain(key['owner'])} on {when} UTC")
    print(f"Names and other texts shown: {len(whole['disclosures'])}")
    for shown in whole["disclosures"]:
        print(f"  {plain(shown['says'])}")
    print("Not proved: that a statement is true, and what the entries that are not here say (one")
    print("may withdraw one of these); that the answers and the packet follow from the entries;")
    print("that the times are right; whose keys these are. Compare them with your own papers:")
    print(*(f"  {plain(key['line'])}" for key in keys), sep="\n")


def plain(text: str) -> str:
    return "".join(letter if letter.isprintable() else "?" for letter in text)


def main() -> int:
    sys.stdout.reconfigure(errors="backslashreplace")  # type: ignore[union-attr]
    path = sys.argv[1] if len(sys.argv) > 1 else os.path.join(os.path.dirname(__file__), "..")
    faults: list[str] = []

    def attempt(step: Any, *given: Any) -> Any:
        try:
            return step(*given)
        except Exception as error:  # whatever goes wrong is a fault, never overlooked
            told = isinstance(error, (Fault, OSError))
            faults.append(f"{step.__name__}: {error if told else repr(error)}")

    files = attempt(read_folder if os.path.isdir(path) else read_zip, path) or {}
    if files:
        attempt(check_bag, files)
        proof = attempt(check_proof, files.get("data/events.json", b"{}"))
        if proof:
            attempt(check_files, files, proof)
            attempt(report, proof)
    for fault in faults:
        print(f"FAULT in {plain(fault)}")
    print("Do not rely on this bundle." if faults else "Everything in it fits together.")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
