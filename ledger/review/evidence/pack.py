"""Make the bundle of a case. The same ledger gives the same bytes."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from pathlib import PurePosixPath

from ledger.chain.checkpoint import parse_checkpoint
from ledger.chain.note import Note, parse_note
from ledger.derive.dictionary import format_dictionary
from ledger.errors import InputError, IntegrityError, StoreError
from ledger.review.evidence import check_texts
from ledger.review.evidence.answers import answer_case
from ledger.review.evidence.archive import format_zip
from ledger.review.evidence.bag import make_bag
from ledger.review.evidence.packet_file import check_packet
from ledger.review.evidence.scope import case_scope, case_statements
from ledger.review.evidence.statements import TABLE, statements_csv
from ledger.store.chains import origin_in
from ledger.store.store import Store
from ledger.witness.check import check_proof
from ledger.witness.checked import CheckedProof, Differences
from ledger.witness.proof import Proof, format_proof
from ledger.witness.prove import prove_statements

_SUFFIX = re.compile(r"\.[a-z0-9]{1,8}")


@dataclass(frozen=True)
class Packed:
    """A bundle as bytes, and the SHA-256 (hex) of its exhibits.

    `absent` exhibits are not kept in the ledger; `withdrawn` ones were handed in by mistake.
    """

    data: bytes
    checked: CheckedProof
    exhibits: tuple[str, ...]
    absent: tuple[str, ...]
    withdrawn: tuple[str, ...]


def pack_case(
    store: Store,
    case: str,
    texts: check_texts.Texts,
    *,
    words: Collection[str] = (),
    packet: bytes | None = None,
    receipts: Sequence[Note] = (),
) -> Packed:
    """Pack the bundle of a case. `texts` writes its papers for people.

    `words` choose what is disclosed (`ledger.review.evidence.scope`), `packet` is the case's packet
    as PDF, `receipts` are checkpoints that the reader holds. Raises InputError for an unknown case
    or another case's packet, StoreError if no chain's key is here to sign with, IntegrityError if
    the ledger does not prove what it contains.
    """
    own = case_statements(store, case)
    answers = answer_case(store, case, sorted({event.game for event in own if event.game}))
    scope = case_scope(store, case, answers.rows["eligibility"], answers.rests_on)
    ids = [event.id for event in scope.events]
    proof = prove_statements(store, ids, scope.disclose(words), receipts)
    checked = check_proof(proof)
    if not checked.ok:
        hint = "weighbook audit says where it was changed."
        raise IntegrityError(f"this ledger does not hold: {checked.differences[0]}", hint=hint)
    evidence = {"events.json": format_proof(proof), **proof_files(proof)}
    evidence["checkpoint.txt"] = next(
        p.note for p in proof.chains if p.chain == scope.chain
    ).encode()
    if packet is not None:
        differences = Differences()
        check_packet(packet, case, checked, differences)
        if differences:
            hint = "Leave out --packet to have the packet made now."
            raise InputError(differences[0].removeprefix("data/"), hint=hint)
        evidence["packet.pdf"] = packet
    wanted = scope.exhibits(words)
    kept = {each: file for each in sorted(wanted) if (file := store.exhibit(each))}
    for digest, (name, content) in kept.items():
        evidence[f"exhibits/{bundle_name(digest, name)}"] = content
    evidence |= {f"answers/{name}": content for name, content in answers.files.items()}
    evidence[check_texts.STATEMENTS] = statements_csv(checked)
    dictionary = format_dictionary([*answers.tables, TABLE])
    evidence[check_texts.DICTIONARY] = dictionary.encode()
    league = next(event.data for event in scope.events if event.kind == "league")
    named = (*check_texts.league_and_season(league), case, check_texts.agent())
    facts = check_texts.make_facts(named, evidence, checked)
    info = {
        "Source-Organization": facts.league,
        "External-Description": f"Evidence of the season {facts.season} about one case",
        "External-Identifier": facts.case,
        "Bagging-Date": store.last().recorded[:10],
        "Bag-Software-Agent": named[-1],
    }
    origin, private = _signing_key(store, scope.chain, proof)
    payload = evidence | check_texts.remade(facts, checked, texts)
    bag = make_bag(payload, info, origin, private)
    folder = "evidence-" + re.sub(r"[^A-Za-z0-9_-]+$", "", case)
    data = format_zip({f"{folder}/{path}": content for path, content in bag.items()})
    groups = (kept, wanted.keys() - kept, scope.withdrawn_exhibits())
    return Packed(data, checked, *(tuple(sorted(group)) for group in groups))


def proof_files(proof: Proof) -> dict[str, bytes]:
    """The keys and checkpoints of a proof as files, by path below data/. Raises InputError."""
    files = {"keys.txt": "".join(f"{key}\n" for key in proof.keys).encode()}
    for part in proof.chains:
        for note in (part.note, *(one.note for one in part.earlier)):
            size = parse_checkpoint(parse_note(note.encode()).text).size
            files[f"checkpoints/{part.chain}-{size}.txt"] = note.encode()
    return files


def bundle_name(sha256: str, name: str) -> str:
    """Return an exhibit's name in the bundle. Only the suffix is kept: a name may name a child.

    >>> bundle_name("ab" * 32, "Ann's sheet.PDF") == "ab" * 32 + ".pdf"
    True
    """
    suffix = PurePosixPath(name).suffix.lower()
    return sha256 + (suffix if _SUFFIX.fullmatch(suffix) else "")


def _signing_key(store: Store, chain: str, proof: Proof) -> tuple[str, bytes]:
    """Origin and private key of the case's chain, or else of another chain in the proof."""
    for name in (chain, *(part.chain for part in proof.chains)):
        origin = origin_in(store, name)
        if private := store.key(origin):
            return origin, private
    raise StoreError(
        "no key of these chains is in this ledger",
        hint="This copy can be read and audited. Make the bundle where the ledger is kept.",
    )
