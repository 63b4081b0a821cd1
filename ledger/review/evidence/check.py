"""Check a bundle with the ledger's own code and list every difference.

1. The bag: every file is there, listed by both digests, and nothing else (BagIt, RFC 8493).
2. The statements: proofs, checkpoints, cosignatures, links, disclosures (`ledger.witness.check`).
3. The ledger's key signed the manifests.
4. The other files say what the proof says: checkpoints, keys; exhibits are those handed in.
5. The proof makes the same texts (`check_texts`), and this ledger made the packet (`packet_file`).

data/check_bundle.py in each bundle does the same with its own code, except for texts and packet,
which only the program can make again. Tests compare the two.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from hashlib import sha256

from ledger.record.kinds import FILES
from ledger.review.evidence.bag import check_bag, check_bag_signature
from ledger.review.evidence.check_texts import ALWAYS, Texts, case_of, check_texts
from ledger.review.evidence.pack import proof_files
from ledger.review.evidence.packet_file import check_packet
from ledger.witness.check import check_proof
from ledger.witness.checked import CheckedProof, Differences
from ledger.witness.proof import Proof, parse_proof

_TABLE = re.compile(r"answers/[a-z_]+\.csv")
_EXHIBIT = re.compile(r"exhibits/([0-9a-f]{64})(\.[a-z0-9]{1,8})?")


@dataclass(frozen=True)
class CheckedBundle:
    """The verdict on a bundle; `checked` has all differences, `not_compared` is a sentence."""

    case: str
    checked: CheckedProof
    exhibits: tuple[str, ...]
    packet: bool
    not_compared: str = ""

    @property
    def ok(self) -> bool:
        return self.checked.ok


def check_bundle(files: Mapping[str, bytes], texts: Texts) -> CheckedBundle:
    """Return the verdict on the files of a bundle, by their path in the bag. Never raises.

    `texts` writes the bundle's papers for people again.
    """
    found = Differences()
    payload = check_bag(files, found)
    found += [f"data/{path}: missing" for path in ALWAYS if path not in payload]
    proof = Proof((), (), ())
    expected: dict[str, bytes] = {}
    with found.noting("data/events.json"):
        proof = parse_proof(payload.get("events.json", b""))
        expected = proof_files(proof)
    checked = check_proof(proof)
    found += checked.differences
    own = [one.key for one in checked.keys if one.event.kind == "chain_key"]
    check_bag_signature(files, own, found)
    differing = [path for path, content in expected.items() if payload.get(path) != content]
    if payload.get("checkpoint.txt") not in [part.note.encode() for part in proof.chains]:
        differing.append("checkpoint.txt")
    found += [f"data/{path}: not what events.json says" for path in differing]
    info = files.get("bag-info.txt", b"")
    not_compared = check_texts(info, payload, checked, texts, found)
    known = {*ALWAYS, "packet.pdf", *expected}
    handed_in = {e.data.get(FILES[e.kind]) for e in checked.events if e.kind in FILES}
    exhibits = []
    for path, content in payload.items():
        if match := _EXHIBIT.fullmatch(path):
            exhibits.append(match[1])
            if sha256(content).hexdigest() != match[1] or match[1] not in handed_in:
                found.append(f"data/{path}: not the file that was handed in")
        elif path not in known and not _TABLE.fullmatch(path):
            found.append(f"data/{path}: not a file of a bundle")
    case = case_of(info)
    if "packet.pdf" in payload:
        check_packet(payload["packet.pdf"], case, checked, found)
    verdict = replace(checked, differences=tuple(found))
    return CheckedBundle(case, verdict, tuple(exhibits), "packet.pdf" in payload, not_compared)
