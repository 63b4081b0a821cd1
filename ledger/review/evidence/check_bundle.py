#!/usr/bin/env python3
# fmt: off
"""Check an evidence bundle of weighbook without trusting its maker.

    python3 -I data/check_bundle.py              checks the unpacked folder that contains it
    python3 -I check_bundle.py evidence-X.zip    checks a zip, or another folder

It needs only Python 3.9 or later. It installs, fetches and writes nothing. Read it before you rely
on it. Exit status 0: everything holds; 1: something does not. Formats: BagIt (RFC 8493),
trees (9162), Ed25519 (8032), notes (c2sp.org), canonical JSON (8785), disclosures (9901).
"""
from __future__ import annotations

import base64, csv, hashlib, io, json, os, re, stat, struct, sys, zlib
from datetime import datetime, timedelta
from typing import Any

MOST_BYTES = 512 * 1024 * 1024
PART = "[A-Za-z0-9_-](?:[A-Za-z0-9._-]{0,200}[A-Za-z0-9_-])?"
NAME = re.compile(f"{PART}(?:/{PART}){{0,5}}")
TAGS = ["bag-info.txt", "bagit.txt", "manifest-sha256.txt", "manifest-sha512.txt", "signature.txt"]
SIGNED = ["bag-info.txt", "manifest-sha256.txt", "manifest-sha512.txt"]
ALWAYS = ["README.txt", "certification.txt", "check_bundle.py", "checkpoint.txt", "events.json",
          "keys.txt", "answers/dictionary.txt", "answers/statements.csv"]
MAYBE = re.compile(r"packet\.pdf|answers/[a-z_]+\.csv|exhibits/([0-9a-f]{64})(?:\.[a-z0-9]{1,8})?")
HANDED_IN = {"case_exhibit": "value", "redaction": "after", "countersign": "scan"}
CHAIN = "[A-Za-z0-9][A-Za-z0-9._-]{0,63}"
SAID = ("kind", "game", "team", "player", "reason", "at", "by")
LINE = {"event", "player", "number", "reason", "at", "by", "struck"}
ROW = {"game", "team", "player", "number", "may_play", "may_carry", "basis", "listed", "events"}
COLUMNS = ["event_id", "kind", "game", "team", "player", "by", "happened_at", "entered_at",
           "recorded_at", "says", "name", "note", "reason_told"]
CELLS = ["kind", "game", "team", "player", "by", "at", "entered", "recorded"]
class Fault(Exception): pass  # noqa: N818 - the bundle's fault, not a program error
def need(condition: object, what: str) -> None:
    if not condition: raise Fault(what)
def sha256(data: bytes) -> bytes: return hashlib.sha256(data).digest()
# The files: a folder, or a zip, which has one form only.
def read_folder(path: str) -> dict[str, bytes]:
    files, total = {}, 0
    for folder, folders, names in os.walk(path):
        need(folders or names, f"empty folder: {folder}")
        for full in (os.path.join(folder, name) for name in folders + names):
            inside, status = os.path.relpath(full, path).replace(os.sep, "/"), os.lstat(full)
            if not stat.S_ISDIR(status.st_mode):
                is_file = stat.S_ISREG(status.st_mode) and NAME.fullmatch(inside)
                need(is_file and (total := total + status.st_size) <= MOST_BYTES,
                     f"not a file of a bundle, or too large: {inside!r}")
                with open(full, "rb") as file: files[inside] = file.read()
    return files
def read_zip(path: str) -> dict[str, bytes]:
    """Nothing is compressed. Rebuild and compare all headers, which leaves no room for tricks."""
    with open(path, "rb") as file:
        data = file.read(MOST_BYTES + 1)
    files, at, directory = {}, 0, b""
    while data[at : at + 4] == b"PK\3\4":
        size, _, length = struct.unpack("<IIH", data[at + 18 : at + 28].ljust(10))
        name = data[at + 30 : at + 30 + length].decode("ascii", "replace")
        content = data[at + 30 + length : at + 30 + length + size]
        common = struct.pack("<HHHHIII", 0, 0, 0, 33, zlib.crc32(content), len(content), size)
        head = struct.pack("<4sH", b"PK\3\4", 20) + common + struct.pack("<HH", length, 0)
        need(data[at : at + 30] == head and NAME.fullmatch(name), f"not an entry: {name!r}")
        need(name not in files, f"{name} is in the zip twice")
        files[name] = content
        directory += struct.pack("<4sHH", b"PK\1\2", 0x0314, 20) + common
        directory += struct.pack("<5H2I", length, 0, 0, 0, 0, 0o100644 << 16, at) + name.encode()
        at += 30 + length + size
    end = struct.pack("<4s4H2IH", b"PK\5\6", 0, 0, *[len(files)] * 2, len(directory), at, 0)
    need(files and data[at:] == directory + end, "not the zip of a bundle, or changed")
    need(len({name.split("/")[0] for name in files}) == 1, "not exactly one folder")
    return {name.split("/", 1)[1]: content for name, content in files.items()}
def check_bag(files: dict[str, bytes]) -> None:
    """The manifests list every file by both digests, and there are no other files."""
    payload = sorted(path for path in files if path.startswith("data/"))
    odd = {*TAGS, "tagmanifest-sha256.txt", "tagmanifest-sha512.txt"} ^ ({*files} - {*payload})
    need(not odd, f"missing, or not part of a bundle: {sorted(odd)}")
    bagit = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
    need(files["bagit.txt"] == bagit, "bagit.txt: not BagIt 1.0 in UTF-8")
    for kind in ("sha256", "sha512"):
        for name, listed in ((f"manifest-{kind}.txt", payload), (f"tagmanifest-{kind}.txt", TAGS)):
            lines = [f"{hashlib.new(kind, files[path]).hexdigest()}  {path}\n" for path in listed]
            differing = sorted({*lines} ^ {*files[name].decode().splitlines(True)})
            need(files[name].decode() == "".join(lines), f"{name} does not match {differing}")
    size = f"{sum(len(files[path]) for path in payload)}.{len(payload)}"
    need(f"\nPayload-Oxum: {size}\n" in files["bag-info.txt"].decode(), "bag-info.txt: wrong size")
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
    half = point_times(number >> 1, point_add(p, p)) if number else (0, 1, 1, 0)
    return point_add(half, p) if number & 1 else half
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
    """Whether the public key made this signature of the message (RFC 8032 5.1.7)."""
    need(len(public) == 32 and len(signature) == 64, "not a signature")
    s = int.from_bytes(signature[32:], "little")
    k = int.from_bytes(hashlib.sha512(signature[:32] + public + message).digest(), "little")
    base = read_point((4 * pow(5, PRIME - 2, PRIME) % PRIME).to_bytes(32, "little"))
    minus = point_times(ORDER - k % ORDER, read_point(public))
    x, y, z, _ = point_add(point_times(s, base), minus)
    x, y = (value * pow(z, PRIME - 2, PRIME) % PRIME for value in (x, y))
    return s < ORDER and (y | (x & 1) << 255).to_bytes(32, "little") == signature[:32]
# Hash trees: roots and proofs.
def leaf_hash(text: str) -> bytes: return sha256(b"\0" + text.encode())
def climb(at: int, last: int, start: bytes, path: list[bytes]) -> tuple[bytes, bytes]:
    """Climb either proof of RFC 9162; return the roots of the smaller and the whole tree."""
    old = new = start
    for step in path:
        need(last, "a proof is too long")
        if at & 1 or at == last:
            old, new = sha256(b"\1" + step + old), sha256(b"\1" + step + new)
            while at and not at & 1:
                at, last = at >> 1, last >> 1
        else:
            new = sha256(b"\1" + new + step)
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
    need(base64.b64encode(data).decode() == text, "base64 not in its one form")
    return data
def read_key(line: str) -> dict[str, Any]:
    """A verifier key: name+id+base64(type || public key)."""
    name, key_id, encoded = line.split("+", 2)
    data = unbase64(encoded)
    right = sha256(name.encode() + b"\n" + data).hex()[:8]
    need(key_id == right and len(data) == 33 and data[0] in (1, 4), f"not a key: {line}")
    return {"line": line, "name": name, "id": key_id, "kind": data[0], "public": data[1:]}
def read_state(note: str, own: dict[str, Any], keys: list[dict[str, Any]]) -> dict[str, Any]:
    """A checkpoint signed by its ledger's own key: size, root, cosigners with their times."""
    need(not re.search(r"[\0-\x09\x0b-\x1f]", note), "not a note")
    text, below = note[: note.rfind("\n\n") + 1], note[note.rfind("\n\n") + 2 :]
    origin, size, root = text.split("\n")[:3]
    is_form = text and re.fullmatch(r"0|[1-9][0-9]{0,18}", size) and below.endswith("\n")
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
            need(is_good, f"{name} did not sign this text")
            signers.append(key)
    need(own in signers and len(signers) == below.count("\n"), "the key of a signature is missing")
    return state
# The statements and their proof: data/events.json.
def write_json(value: Any) -> str:
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
def load_json(text: str) -> Any:
    """Read canonical JSON, which has one text for each value; whole numbers only."""
    value = json.loads(text, parse_float=int, parse_constant=int)
    need(write_json(value) == text, "not canonical JSON")
    return value
def read_proof(data: bytes) -> tuple[dict[str, Any], dict[str, Any]]:
    """The proof, with hashes for places in its table; and every event by id. Checks the links."""
    whole = load_json(data.decode())
    is_known = str([whole.get("format"), whole.get("v"), len(whole)]) == "['weighbook-proof', 1, 6]"
    need(is_known, "not a proof, or an unknown version")
    table = [unbase64(each) for each in whole["hashes"]]
    entries = [each for part in whole["chains"] for each in part["earlier"] + part["events"]]
    used = dict.fromkeys(place for entry in entries for place in entry["proof"])
    is_form = str([*used]) == str([*range(len(table))]) and all(len(each) == 32 for each in table)
    is_form = is_form and all(len(each) == 2 for each in entries + whole["disclosures"])
    names = [(part["chain"], len(part)) for part in whole["chains"]]
    is_form = is_form and names == sorted({(name, 4) for name, _ in names})
    need(is_form and whole["keys"] == sorted({*whole["keys"]}), "not the form of a proof")
    events: dict[str, Any] = {}
    for part in whole["chains"]:
        seq, before = 0, "00" * 32
        for entry in part["events"]:
            event = load_json(entry["event"])
            name = f"{event['chain']}:{event['seq']}"
            need(event["chain"] == part["chain"] and event["seq"] > seq, f"{name}: wrong place")
            need(event["seq"] > seq + 1 or event["prev"] == before, f"{name}: a wrong link")
            seq, before = event["seq"], leaf_hash(entry["event"]).hex()
            events[name] = event
    for entry in entries:
        entry["proof"] = [table[place] for place in entry["proof"]]
    return whole, events
def check_chain(part: dict[str, Any], keys: list[Any], events: dict[str, Any]) -> list[Any]:
    """The chain's signed checkpoints, the latest first; every event is in its tree."""
    own = [key for key in keys if key["line"] == events[f"{part['chain']}:1"]["data"]["key"]]
    need(own and events[f"{part['chain']}:1"]["kind"] == "chain_key", "the chain's key is missing")
    states = [read_state(part["note"], own[0], keys)]
    for entry in part["earlier"]:
        states.append(read_state(entry["note"], own[0], keys))
        check_continued(states[-1], states[0], entry["proof"])
        need(len(states) == 2 or states[-2]["size"] < states[-1]["size"], "not in order")
    for entry in part["events"]:
        seq, leaf = json.loads(entry["event"])["seq"], leaf_hash(entry["event"])
        need(0 < seq <= states[0]["size"], f"{part['chain']}:{seq} is not in the tree")
        _, root = climb(seq - 1, states[0]["size"] - 1, leaf, entry["proof"])
        need(root == states[0]["root"], f"{part['chain']}:{seq} differs from what was signed")
    for state in states:
        for key, _ in state["by"]:
            is_known = is_in_force(key, part["chain"], state["size"], events)
            need(is_known, f"the key of {key['owner']} was not in force then")
        state["chain"] = part["chain"]
    return states
def is_in_force(key: dict[str, Any], chain: str, seq: int, events: dict[str, Any]) -> bool:
    old = [e for e in events.values() if e["kind"] in ("official_key", "key_revoked")]
    own = [e for e in old if e["chain"] == chain and e["data"]["key"].startswith(key["name"] + "+")]
    latest = [e for e in own if e["seq"] < seq][-1:] + [e for e in old if e["chain"] != chain]
    return key["line"] in [e["data"]["key"] for e in latest if e["kind"] == "official_key"]
def read_phone(event: dict[str, Any], keys: list[Any], events: dict[str, Any]) -> list[Any]:
    """The key with which a phone signed this list, if the bundle has a key of its official."""
    data, own = event["data"], [key for key in keys if key["owner"] == event.get("by")]
    if event["kind"] != "countersign" or data.get("how") != "device" or not own: return []
    own = [key for key in own if is_in_force(key, event["chain"], event["seq"], events)]
    origin = events[f"{event['chain']}:1"]["data"]["origin"]
    said = [origin, event["game"], event["team"], event["by"], data["list"]]
    seen = [f"{name} {head['size']} {head['root']}" for name, head in sorted(data["seen"].items())]
    text = "".join(f"{line}\n" for line in ("weighbook-signature/v1", *said, *seen)).encode()
    good = [key for key in own if is_signed(key["public"], text, unbase64(data["signature"]))]
    need(good and event["chain"] in data["seen"], f"the phone of {event['by']} did not sign this")
    return good
def check_proof(data: bytes) -> tuple[dict[str, Any], list[Any], dict[str, Any], list[Any]]:
    """The proof, its keys, its events by id, and its signed states."""
    whole, events = read_proof(data)
    keys = [read_key(line) for line in whole["keys"]]
    for key in keys:
        kind, owner = ("official_key", "official") if key["kind"] == 4 else ("chain_key", "origin")
        stated = [e["data"] for e in events.values() if e["kind"] == kind]
        key["owner"] = next((e[owner] for e in stated if e["key"] == key["line"]), None)
        need(key["name"].split("@")[0] == key["owner"], f"no entry gives key {key['name']}")
    states = [state for part in whole["chains"] for state in check_chain(part, keys, events)]
    signers = [key for state in states for key, _ in state["by"]]
    signers += [key for event in events.values() for key in read_phone(event, keys, events)]
    need(all(key in signers for key in keys if key["kind"] == 4), "a key signed nothing here")
    for shown in whole["disclosures"]:
        text, digests = shown["disclosure"], events[shown["event"]]["data"]["digests"]
        raw = base64.urlsafe_b64encode(sha256(text.encode())).decode().rstrip("=")
        salted = json.loads(base64.urlsafe_b64decode(text + "=" * (-len(text) % 4)))
        _, shown["field"], shown["value"] = salted
        need(digests[shown["field"]] == raw, f"a text of {shown['event']} differs from the ledger")
    once = {(shown["event"], shown["disclosure"]) for shown in whole["disclosures"]}
    need(len(once) == len(whole["disclosures"]), "something is disclosed twice")
    return whole, keys, events, states
# Signed lists. Form 2 keeps the signed list; form 1 kept only its number.
def read_list(event: dict[str, Any], events: dict[str, Any]) -> set[str]:
    """Return the entries that the list names; those in the bundle must agree with the list."""
    shown, of = event["data"]["shown"], {key: event.get(key) for key in ("game", "team")}
    is_own = len(shown) == 4 and sha256(write_json(shown).encode()).hex() == event["data"]["list"]
    need(is_own and {**shown, **of} == shown, "the kept list has another number, game or team")
    says = []
    for row in [] + shown["rows"]:  # [] + accepts only lists
        need({*row} == ROW and {**row, **of} == row, "a row has another form, game or team")
        says += [(one, {"player": row["player"]}) for one in [] + row["events"]]
    for line in [] + shown["lines"]:
        struck, right = line["struck"], {**of, "kind": "list", **line}
        need({*line} == LINE and (struck is None or len(struck) == 3), "a line has another form")
        says.append((right.pop("event"), {key: right[key] for key in right if key in SAID}))
        if struck is not None:
            right = {**of, "kind": "strike_off", "player": line["player"], **struck}
            says.append((right.pop("event"), {**right, "at": struck["at"], "by": struck["by"]}))
    for one, right in says:
        here = events.get(one)
        if here and ("kind" in right or here["kind"] != "half"):  # a half is about no player
            there = {**here, "reason": here["data"].get("reason")}
            need(all(there.get(key) == right[key] for key in right), f"the list misquotes {one}")
    return {one for one, _ in says}
def check_lists(_: Any, proof: Any) -> None:
    """Check every signature to a list. It may name absent entries; README.txt says which."""
    events, states = proof[2:]
    roots = {(state["chain"], state["size"]): state["root"].hex() for state in states}
    second = set()
    for name, event in events.items():
        data, covers = event["data"], {event["chain"]: event["seq"] - 1}
        for chain, there in [*data.get("others", {}).items(), *data.get("seen", {}).items()]:
            size, root = there["size"], there["root"]
            is_form = re.fullmatch(CHAIN, chain) and re.fullmatch("[0-9a-f]{64}", root)
            need(is_form and len(there) == 2 and type(size) is int and size > 0, f"{name}: others")
            need(roots.get((chain, size), root) == root, f"{name} names another root of {chain}")
            covers.setdefault(chain, size)
        if event["kind"] != "countersign" or not {"list", "how"} & {*data}:
            continue
        is_known = data.get("form") == 2 or not ("form" in data or event["chain"] in second)
        need(is_known and data["how"] in ("key", "ink", "device"), f"{name} has an unknown form")
        if "form" in data:
            second.add(event["chain"])
            for one in read_list(event, events):
                at = re.fullmatch(f"({CHAIN}):([1-9][0-9]{{0,14}})", one)
                need(at and int(at[2]) <= covers.get(at[1], 0), f"{name} does not cover {one}")
def say(data: dict[str, Any], path: str = "") -> list[str]:
    cells = []
    for key in [key for key in data if path or key not in ("digests", "source", "shown")]:
        value, name = data[key], f"{path}{key}"
        text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
        cells += say(value, f"{name}.") if isinstance(value, dict) else [f"{name}={text}"]
    return cells
def check_table(files: dict[str, bytes], proof: Any) -> None:
    """statements.csv matches the entries in every cell."""
    texts = {(shown["event"], shown["field"]): shown["value"] for shown in proof[0]["disclosures"]}
    right = [COLUMNS]
    for name, event in proof[2].items():
        cells = [name, *(event.get(key) or "" for key in CELLS), " ".join(say(event["data"]))]
        cells += [texts.get((name, field)) or "" for field in ("name", "note", "reason")]
        # An apostrophe keeps a spreadsheet from reading a text as a formula.
        is_like = [re.match("[ \u00a0]*[=+@\t\r\n＝＋－＠'-]", cell) is not None for cell in cells]
        right.append(["'" * is_like[at] + cell for at, cell in enumerate(cells)])
    table = io.StringIO(files["data/answers/statements.csv"].decode(), newline="")
    need([*csv.reader(table, strict=True)] == right, "statements.csv differs from events.json")
def check_files(files: dict[str, bytes], proof: Any) -> None:
    """The other files match the proof, and the ledger's own key signed the manifests."""
    whole, keys, events, states = proof
    right = {"keys.txt": "".join(f"{key['line']}\n" for key in keys).encode()}
    for state in states:
        right[f"checkpoints/{state['chain']}-{state['size']}.txt"] = state["note"].encode()
    notes = [part["note"].encode() for part in whole["chains"]]
    need(files["data/checkpoint.txt"] in notes, "data/checkpoint.txt differs from events.json")
    for path in {*ALWAYS, *right}:
        is_right = files.get(f"data/{path}", b"") == right.get(path, files.get(f"data/{path}"))
        need(is_right, f"data/{path} is missing, or differs from events.json")
    handed_in = [event["data"].get(HANDED_IN.get(event["kind"])) for event in events.values()]
    for path in {name[5:] for name in files if name.startswith("data/")} - {*ALWAYS, *right}:
        need(match := MAYBE.fullmatch(path), f"not a file of a bundle: data/{path}")
        digest, content = match[1], files[f"data/{path}"]  # type: ignore[index]
        is_right = not digest or (digest == sha256(content).hex() and digest in handed_in)
        need(is_right and (path[-3:] != "pdf" or digest or content[:5] == b"%PDF-"),
             f"not handed in, or not a PDF: data/{path}")
    case = re.search(r"^External-Identifier: (.+)$", files["bag-info.txt"].decode(), re.MULTILINE)
    opened = [e["data"].get("case") for e in events.values() if e["kind"] == "case_open"]
    need(case and case[1] in opened, "no entry opens the case in bag-info.txt")
    text, _, line = files["signature.txt"].decode().rpartition("\n\n")
    own = [key for key in keys if key["kind"] == 1 and line.startswith(f"— {key['name']} ")]
    need(own, "no ledger of this bundle signed the manifests")
    digests = [f"sha256 {name} {sha256(files[name]).hex()}\n" for name in SIGNED]
    signed = f"weighbook-evidence/v1\n{own[0]['name']}\n{''.join(digests)}"
    data = unbase64(line.split(" ")[2][:-1])
    need(line.endswith("\n") and data[:4].hex() == own[0]["id"], "signature.txt: not its form")
    is_good = text + "\n" == signed and is_signed(own[0]["public"], signed.encode(), data[4:])
    need(is_good, "the ledger's key signed other manifests")
def report(_: Any, proof: Any) -> None:
    whole, keys, events, states = proof
    print(f"Proved: {len(events)} entries, letter for letter, each in its place in the ledger.")
    for state in sorted(states, key=lambda state: -state["size"]):
        print(f"  {state['size']} entries, signed by {plain(state['note'].splitlines()[0])}")
        for key, time in state["by"]:
            when = datetime(1970, 1, 1) + timedelta(seconds=time)
            print(f"    and by {plain(key['owner'])} on {when} UTC")
    print(f"Names and other texts shown: {len(whole['disclosures'])}")
    for shown in whole["disclosures"]:
        print(plain(f"  {shown['event']}, {shown['field']}: {shown['value']}"))
    print("Not proved: whether a statement or its times are true; what other entries say; whether")
    print("answers and packet follow from these entries; whose keys these are. Compare these keys")
    print("with a paper or receipt of your own:")
    print(*(f"  {plain(key['line'])}" for key in keys), sep="\n")
def plain(text: str) -> str: return "".join(one if one.isprintable() else "?" for one in text)
def main() -> int:
    sys.stdout.reconfigure(errors="backslashreplace")  # type: ignore[union-attr]
    path = sys.argv[1] if len(sys.argv) > 1 else os.path.join(os.path.dirname(__file__), "..")
    faults: list[str] = []
    def attempt(step: Any, *given: Any) -> Any:
        try:
            return step(*given)
        except Exception as error:  # anything that goes wrong is a fault
            what = error if isinstance(error, (Fault, OSError)) else repr(error)
            faults.append(f"{step.__name__}: {what}")
    files = attempt(read_folder if os.path.isdir(path) else read_zip, path) or {}
    if files:
        attempt(check_bag, files)
        proof = attempt(check_proof, files.get("data/events.json", b"{}"))
        for step in (check_files, check_table, check_lists, report) if proof else ():
            attempt(step, files, proof)
    for fault in faults: print(f"FAULT in {plain(fault)}")
    print("Do not rely on this bundle." if faults else "Everything in it fits together.")
    return 1 if faults else 0
if __name__ == "__main__": sys.exit(main())
