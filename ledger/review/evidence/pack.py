"""Make the bundle of a case. The same ledger gives the same bytes."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ledger.chain.checkpoint import Checkpoint, parse_checkpoint
from ledger.chain.note import Note, parse_note
from ledger.derive.dictionary import format_dictionary
from ledger.errors import InputError, IntegrityError, StoreError
from ledger.review.evidence.answers import answer_case
from ledger.review.evidence.archive import format_zip
from ledger.review.evidence.bag import make_bag
from ledger.review.evidence.check_texts import (
    CHECKER,
    DICTIONARY,
    STATEMENTS,
    agent,
    checker,
)
from ledger.review.evidence.exhibits import KeptFile, bundle_name, read_exhibits
from ledger.review.evidence.facts import Facts, Texts, digests_of
from ledger.review.evidence.packet_file import check_packet
from ledger.review.evidence.scope import CaseScope, case_scope, case_statements
from ledger.review.evidence.statements import TABLE, statements_csv
from ledger.store.chains import origin_in
from ledger.store.store import Store
from ledger.witness.check import check_proof
from ledger.witness.checked import CheckedProof, Differences
from ledger.witness.proof import ChainProof, Proof, format_proof
from ledger.witness.prove import prove_statements


@dataclass(frozen=True)
class Packed:
    """A bundle: its bytes, and what is in it.

    `absent` are exhibits that the ledger keeps not, `withdrawn` those that were a mistake.
    """

    data: bytes
    checked: CheckedProof
    exhibits: tuple[str, ...]
    absent: tuple[str, ...]
    withdrawn: tuple[str, ...]


def pack_case(
    store: Store,
    case: str,
    texts: Texts,
    *,
    words: Collection[str] = (),
    packet: bytes | None = None,
    receipts: Sequence[Note] = (),
) -> Packed:
    """The bundle of a case. `texts` writes its papers for people.

    `words` choose what is disclosed (`ledger.review.evidence.scope`),
    `packet` is the case's packet as PDF, `receipts` are checkpoints that the reader holds. Raises
    InputError for an unknown case or a packet that is not this case's, StoreError where no chain's
    key is here to sign with, IntegrityError where the ledger does not prove what it holds.
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
    if packet is not None:
        differences = Differences()
        check_packet(packet, case, checked, differences)
        if differences:
            hint = "Without --packet, the packet of the case is made anew."
            raise InputError(differences[0].removeprefix("data/"), hint=hint)
    wanted = scope.exhibits(words)
    kept = read_exhibits(store, wanted)
    evidence = _evidence(scope, proof, kept, packet)
    evidence |= {f"answers/{name}": content for name, content in answers.files.items()}
    evidence[STATEMENTS] = statements_csv(checked)
    evidence[DICTIONARY] = format_dictionary([*answers.tables, TABLE]).encode()
    facts = _facts(scope, checked, digests_of(evidence))
    payload = evidence | {
        **{path: text.encode() for path, text in texts(facts, checked).items()},
        CHECKER: checker(),
    }
    origin, private = _signing_key(store, scope.chain, proof)
    bag = make_bag(payload, _info(store, facts), origin, private)
    folder = "evidence-" + re.sub(r"[^A-Za-z0-9_-]+$", "", case)
    data = format_zip({f"{folder}/{path}": content for path, content in bag.items()})
    absent = wanted.keys() - kept
    mistaken = scope.withdrawn_exhibits()
    return Packed(data, checked, *(tuple(sorted(some)) for some in (kept, absent, mistaken)))


def checkpoint_name(chain: str, note: str) -> str:
    """The name of a checkpoint's file in a bundle."""
    return f"checkpoints/{chain}-{_state(note).size}.txt"


def notes_of(part: ChainProof) -> list[str]:
    """Every checkpoint note of a chain's proof."""
    return [part.note, *(one.note for one in part.earlier)]


def _evidence(
    scope: CaseScope, proof: Proof, kept: Mapping[str, KeptFile], packet: bytes | None
) -> dict[str, bytes]:
    own = next(part for part in proof.chains if part.chain == scope.chain)
    found = {
        "events.json": format_proof(proof),
        "checkpoint.txt": own.note.encode(),
        "keys.txt": "".join(f"{key}\n" for key in proof.keys).encode(),
    }
    for part in proof.chains:
        found |= {checkpoint_name(part.chain, note): note.encode() for note in notes_of(part)}
    for digest, file in kept.items():
        found[f"exhibits/{bundle_name(digest, file.name)}"] = file.content
    return found | ({"packet.pdf": packet} if packet is not None else {})


def _facts(scope: CaseScope, checked: CheckedProof, digests: Mapping[str, str]) -> Facts:
    league: Mapping[str, Any] = next(e.data for e in scope.events if e.kind == "league")
    return Facts(
        league=" ".join(league["name"].split()),
        season=" ".join(league["season"].split()),
        case=scope.case,
        games=scope.games,
        software=agent().partition(" (")[0],
        states=tuple(chain.state.checkpoint for chain in checked.chains if chain.state),
        digests=digests,
    )


def _info(store: Store, facts: Facts) -> dict[str, str]:
    return {
        "Source-Organization": facts.league,
        "External-Description": f"Evidence of the season {facts.season} about one case",
        "External-Identifier": facts.case,
        "Bagging-Date": store.last().recorded[:10],
        "Bag-Software-Agent": agent(),
    }


def _signing_key(store: Store, chain: str, proof: Proof) -> tuple[str, bytes]:
    """Origin and private key: of the case's chain, else of another in the proof."""
    for name in (chain, *(part.chain for part in proof.chains)):
        origin = origin_in(store, name)
        if private := store.key(origin):
            return origin, private
    raise StoreError(
        "no key of these chains is in this ledger",
        hint="This copy can be read and audited; make the bundle where the ledger is kept.",
    )


def _state(note: str) -> Checkpoint:
    return parse_checkpoint(parse_note(note.encode()).text)
