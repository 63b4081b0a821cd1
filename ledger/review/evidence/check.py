"""Check a bundle with the ledger's own code: every difference is listed.

1. The bag: every file is there, listed by both digests, and nothing else is (BagIt, RFC 8493).
2. The statements: proofs, checkpoints, cosignatures, links, disclosures (`ledger.witness.check`).
3. The ledger's key signed the manifests.
4. The other files say what the proof says: checkpoints, keys; exhibits are those handed in.
5. The texts are those that the proof makes (`check_texts`), the packet is one that this ledger
   made (`packet_file`).

data/check_bundle.py in each bundle does the same with code of its own, but for what only the
program can do again: its texts and its packet. The tests hold the two against each other.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from hashlib import sha256

from ledger.chain.checkpoint import parse_checkpoint
from ledger.chain.event import Event
from ledger.chain.note import parse_note
from ledger.record.kinds import FILES
from ledger.review.evidence.bag import check_bag, check_bag_signature
from ledger.review.evidence.check_texts import STATEMENTS, case_of, check_texts
from ledger.review.evidence.facts import Texts
from ledger.review.evidence.packet_file import check_packet
from ledger.witness.check import check_proof
from ledger.witness.checked import CheckedProof, Differences
from ledger.witness.proof import Proof, parse_proof

_ALWAYS = (
    "README.txt",
    "certification.txt",
    "check_bundle.py",
    "checkpoint.txt",
    "events.json",
    "keys.txt",
    "answers/dictionary.txt",
    STATEMENTS,
)
_TABLE = re.compile(r"answers/[a-z_]+\.csv")
_EXHIBIT = re.compile(r"exhibits/([0-9a-f]{64})(\.[a-z0-9]{1,8})?")


@dataclass(frozen=True)
class CheckedBundle:
    """The verdict on a bundle; `checked` has all differences, `not_compared` is in words."""

    case: str
    checked: CheckedProof
    exhibits: tuple[str, ...]
    packet: bool
    not_compared: str = ""

    @property
    def ok(self) -> bool:
        return self.checked.ok


def check_bundle(files: Mapping[str, bytes], texts: Texts) -> CheckedBundle:
    """The verdict on the files of a bundle, by their path in the bag; it never raises.

    `texts` writes again the papers for people that a bundle holds.
    """
    found = Differences()
    payload = check_bag(files, found)
    found += [f"data/{path}: missing" for path in _ALWAYS if path not in payload]
    proof = Proof((), (), ())
    with found.noting("data/events.json"):
        proof = parse_proof(payload.get("events.json", b""))
    checked = check_proof(proof)
    found += checked.differences
    own = [one.key for one in checked.keys if one.event.kind == "chain_key"]
    check_bag_signature(files, own, found)
    expected = _expected(proof, found)
    found += [
        f"data/{path}: not what events.json says"
        for path, content in expected.items()
        if payload.get(path) != content
    ]
    if payload.get("checkpoint.txt") not in [part.note.encode() for part in proof.chains]:
        found.append("data/checkpoint.txt: not what events.json says")
    exhibits = _exhibits(payload, checked.events, found)
    not_compared = check_texts(files.get("bag-info.txt", b""), payload, checked, texts, found)
    known = {*_ALWAYS, "packet.pdf", *expected}
    for path in payload:
        if path not in known and not _TABLE.fullmatch(path) and not _EXHIBIT.fullmatch(path):
            found.append(f"data/{path}: not a file of a bundle")
    case = case_of(files.get("bag-info.txt", b""))
    if "packet.pdf" in payload:
        check_packet(payload["packet.pdf"], case, checked, found)
    verdict = replace(checked, differences=tuple(found))
    return CheckedBundle(case, verdict, exhibits, "packet.pdf" in payload, not_compared)


def _expected(proof: Proof, found: Differences) -> dict[str, bytes]:
    """What the files of checkpoints and keys must say."""
    files = {"keys.txt": "".join(f"{key}\n" for key in proof.keys).encode()}
    for part in proof.chains:
        for note in (part.note, *(one.note for one in part.earlier)):
            with found.noting(f"a checkpoint of {part.chain}"):
                size = parse_checkpoint(parse_note(note.encode()).text).size
                files[f"checkpoints/{part.chain}-{size}.txt"] = note.encode()
    return files


def _exhibits(
    payload: Mapping[str, bytes], events: Iterable[Event], found: Differences
) -> tuple[str, ...]:
    """SHA-256 of the exhibits, each handed in by a proved statement."""
    digests = {event.data.get(FILES[event.kind]) for event in events if event.kind in FILES}
    there = []
    for path, content in payload.items():
        if match := _EXHIBIT.fullmatch(path):
            there.append(match[1])
            if sha256(content).hexdigest() != match[1] or match[1] not in digests:
                found.append(f"data/{path}: not the file that was handed in")
    return tuple(there)
