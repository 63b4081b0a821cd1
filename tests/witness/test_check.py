"""What `check_proof` notices: each row of ATTACKS is a lie, and words of the answer to it.

The attacker of the first table has no key. The one of the second has the chain's own key, as the
keeper of a ledger does; only the officials' cosignatures show those lies.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from ledger.chain.checkpoint import Checkpoint, parse_checkpoint, sign_checkpoint
from ledger.chain.cosignature import cosign_note, cosigner_key
from ledger.chain.disclosure import make_disclosure
from ledger.chain.hashing import leaf_hash
from ledger.chain.keys import make_key
from ledger.chain.merkle import prove_consistency, prove_inclusions, root
from ledger.chain.note import (
    Note,
    add_signature,
    format_note,
    format_verifier_key,
    parse_note,
    sign_note,
)
from ledger.say.proofs import sections, sentence
from ledger.store.chains import origin_in
from ledger.store.sqlite.store import SqliteStore
from ledger.witness.check import check_proof
from ledger.witness.checked import CheckedProof
from ledger.witness.officials import unlock
from ledger.witness.proof import ChainProof, EarlierCheckpoint, Proof, ProvedEvent, ShownText
from tests.chain.mutation import damaged_proofs
from tests.signed_season import CHAIN, PASSPHRASE
from tests.witness.rebuilding import Change, rebuilt, with_data
from tests.witness.small import small_proof


@pytest.fixture(scope="module")
def proof(signed: SqliteStore) -> Proof:
    return small_proof(signed)


def part_of(proof: Proof) -> ChainProof:
    return proof.chains[0]


def with_part(proof: Proof, **change: Any) -> Proof:
    return replace(proof, chains=(replace(part_of(proof), **change),))


def with_event(proof: Proof, at: int, change: Callable[[str], str]) -> Proof:
    events = list(part_of(proof).events)
    events[at] = replace(events[at], text=change(events[at].text))
    return with_part(proof, events=tuple(events))


def without_event(proof: Proof, at: int) -> Proof:
    events = list(part_of(proof).events)
    del events[at]
    return with_part(proof, events=tuple(events))


def where(proof: Proof, kind: str) -> int:
    events = part_of(proof).events
    return next(n for n, one in enumerate(events) if f'"kind":"{kind}"' in one.text)


def retold(proof: Proof, value: str, *, field: str = "name") -> Proof:
    one, *rest = proof.disclosures
    lie = replace(one, disclosure=make_disclosure(field, value))
    return replace(proof, disclosures=(lie, *rest))


def note_with(proof: Proof, old: str, new: str) -> Proof:
    return with_part(proof, note=part_of(proof).note.replace(old, new, 1))


def swapped_texts(proof: Proof) -> Proof:
    one, two = proof.disclosures[:2]
    swapped = (replace(one, disclosure=two.disclosure), replace(two, disclosure=one.disclosure))
    return replace(proof, disclosures=swapped)


STRANGER = format_verifier_key(cosigner_key("marmots-wm3@elsewhere", make_key().public))

ATTACKS: dict[str, tuple[Callable[[Proof], Proof], str]] = {
    "another value": (
        lambda p: with_event(p, where(p, "weigh"), lambda t: t.replace('"ok"', '"over"', 1)),
        "leads to another root",
    ),
    "another child": (
        lambda p: with_event(p, where(p, "weigh"), lambda t: t.replace('player":"k', 'player":"j')),
        "leads to another root",
    ),
    "another salt": (
        lambda p: with_event(p, where(p, "weigh"), lambda t: t.replace('"salt":"', '"salt":"A')),
        "seq, prev or salt",
    ),
    "spaces in the text": (
        lambda p: with_event(p, 2, lambda t: t.replace(":", ": ", 1)),
        "canonical form",
    ),
    "text that is no event": (lambda p: with_event(p, 2, lambda t: "{}"), "missing"),
    "text that is not Unicode": (lambda p: with_event(p, 2, lambda t: "\ud800"), "not Unicode"),
    "an event of another chain": (
        lambda p: with_event(p, 2, lambda t: t.replace('"chain":"office"', '"chain":"field"')),
        "from another chain",
    ),
    "two events swapped": (
        lambda p: with_part(p, events=(*part_of(p).events[:-2], *part_of(p).events[:-3:-1])),
        "wrong place",
    ),
    "an event twice": (
        lambda p: with_part(p, events=(*part_of(p).events, part_of(p).events[-1])),
        "wrong place",
    ),
    "no key of the chain": (lambda p: without_event(p, 0), "own key is missing"),
    "no event of a signer's key": (
        lambda p: without_event(p, where(p, "official_key")),
        "no event here has it",
    ),
    "a signer's key left out": (
        lambda p: replace(p, keys=tuple(k for k in p.keys if "@" in k)),
        "own key is missing",
    ),
    "a stranger's key": (lambda p: replace(p, keys=(*p.keys, STRANGER)), "no event here has it"),
    "a broken key line": (lambda p: replace(p, keys=("nonsense", *p.keys)), "not a verifier key"),
    "another name": (lambda p: retold(p, "Somebody Else"), "not the text that was recorded"),
    "another field": (lambda p: retold(p, "x", field="note"), "not the text that was recorded"),
    "names of two children swapped": (swapped_texts, "not the text that was recorded"),
    "a text twice": (
        lambda p: replace(p, disclosures=(*p.disclosures, p.disclosures[0])),
        "here twice",
    ),
    "a text of an event that is not here": (
        lambda p: replace(p, disclosures=(replace(p.disclosures[0], event_id="office:2"),)),
        "no event here has its digest",
    ),
    "a text that is none": (
        lambda p: replace(p, disclosures=(replace(p.disclosures[0], disclosure="!"),)),
        "not a disclosure",
    ),
    "a larger size": (lambda p: note_with(p, "\n73", "\n74"), "signature does not match"),
    "another origin": (lambda p: note_with(p, "invented-", "imagined-"), "signature does not"),
    "an extension line": (lambda p: note_with(p, "\n\n", "\nmore\n\n"), "signature does not"),
    "a note that is none": (lambda p: with_part(p, note="note"), "no empty line"),
    "no signature of the chain": (
        lambda p: with_part(p, note=without_line(part_of(p).note, "@", keep=True)),
        "none of the known keys signed",
    ),
    "a signature by a key that is not here": (
        lambda p: with_part(p, note=part_of(p).note + strange_line()),
        "whose key is missing",
    ),
    "no cosignature": (
        lambda p: with_part(p, note=without_line(part_of(p).note, "@", keep=False), earlier=()),
        "but signed nothing",
    ),
    "an earlier checkpoint without its proof": (
        lambda p: with_part(p, earlier=tuple(replace(e, path=()) for e in part_of(p).earlier)),
        "consistency proof is empty",
    ),
    "earlier checkpoints in disorder": (
        lambda p: with_part(p, earlier=(*part_of(p).earlier, *part_of(p).earlier)),
        "wrong place",
    ),
    "a later checkpoint as an earlier one": (
        lambda p: with_part(
            p, note=part_of(p).earlier[-1].note,
            earlier=(replace(part_of(p).earlier[-1], note=part_of(p).note),),
        ),
        "wrong place",
    ),
}  # fmt: skip


def strange_line() -> str:
    return (
        format_note(sign_note("text\n", "a.stranger", make_key().private)).decode().split("\n")[2]
        + "\n"
    )


def without_line(note: str, mark: str, *, keep: bool) -> str:
    """The note with only (`keep`) or without the signature lines that contain `mark`."""
    head, _, lines = note.rpartition("\n\n")
    left = [line for line in lines.splitlines() if (mark in line) == keep]
    return head + "\n\n" + "".join(f"{line}\n" for line in left)


def said(checked: CheckedProof) -> str:
    assert not checked.ok
    assert "Do not rely" in sentence(checked)
    (section,) = sections(checked)
    return "\n".join(section.lines)


@pytest.mark.parametrize("name", ATTACKS)
def test_a_lie_without_a_key(proof: Proof, name: str) -> None:
    lie, words = ATTACKS[name]
    assert words in said(check_proof(lie(proof)))


def test_every_damage_to_a_path(proof: Proof) -> None:
    event = part_of(proof).events[5]
    for what, path in damaged_proofs(event.path, bytes(32)):
        events = list(part_of(proof).events)
        events[5] = replace(event, path=tuple(path))
        assert not check_proof(with_part(proof, events=tuple(events))).ok, what


def rewritten(store: SqliteStore, proof: Proof, *, cosigned: bool) -> Proof:
    """A history rewritten by the ledger's keeper: one weigh changed, all later links made anew."""
    texts = [stored.body for stored in store.events(chain=[CHAIN])]
    at = json.loads(part_of(proof).events[where(proof, "weigh")].text)["seq"] - 1
    texts[at] = texts[at].replace('"value":"ok"', '"value":"over"')
    for n in range(at + 1, len(texts)):
        linked = json.loads(texts[n]) | {"prev": leaf_hash(texts[n - 1].encode()).hex()}
        texts[n] = json.dumps(linked, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    private = store.key(origin_in(store, CHAIN))
    assert private is not None
    hashes = [leaf_hash(text.encode()) for text in texts]
    tree = parse_checkpoint(parse_note(part_of(proof).note.encode()).text)
    note = sign_checkpoint(Checkpoint(tree.origin, tree.size, root(hashes[: tree.size])), private)
    old = parse_note(part_of(proof).note.encode())
    if cosigned:
        note = Note(note.text, (*note.signatures, *old.signatures[1:]))
    seqs = [json.loads(event.text)["seq"] for event in part_of(proof).events]
    paths = prove_inclusions(hashes[: tree.size], [seq - 1 for seq in seqs])
    events = tuple(ProvedEvent(texts[seq - 1], paths[seq - 1]) for seq in seqs)
    return with_part(proof, note=format_note(note).decode(), events=events, earlier=())


def test_a_rewritten_ledger_has_no_cosignature(signed: SqliteStore, proof: Proof) -> None:
    lie = rewritten(signed, proof, cosigned=True)
    assert "signature does not match" in said(check_proof(lie))


def test_a_rewritten_ledger_without_cosignatures_says_that_nobody_else_signed(
    signed: SqliteStore, proof: Proof
) -> None:
    """Every part of it is genuine, so the answer says what is missing."""
    lie = rewritten(signed, proof, cosigned=False)
    lie = replace(lie, keys=tuple(key for key in lie.keys if "@" not in key))
    checked = check_proof(lie)
    assert checked.ok
    text = "\n".join(line for section in sections(checked) for line in section.lines)
    assert "no official signed it" in text


OTHER_CHAIN: dict[str, tuple[int, Change]] = {
    "its name is that of another chain": (1, with_data(origin="invented-league/2026/tent")),
    "it comes later": (2, lambda event: event.update(kind="chain_key")),
}


@pytest.mark.parametrize("name", OTHER_CHAIN)
def test_a_chain_has_one_key_of_its_own_in_its_first_event(
    signed: SqliteStore, proof: Proof, name: str
) -> None:
    seq, change = OTHER_CHAIN[name]
    first = json.loads(part_of(proof).events[0].text)

    def changed(event: dict[str, Any]) -> None:
        event["data"] = dict(first["data"])
        change(event)

    whole = with_seq(signed, proof, seq)
    lie = rebuilt(signed, whole, CHAIN, {seq: changed})
    assert f"the key in {CHAIN}:{seq}: it is not in the chain's first event" in said(
        check_proof(lie)
    )


def with_seq(store: SqliteStore, proof: Proof, seq: int) -> Proof:
    """The proof with the chain's event of this number, if it lacks that."""
    part = part_of(proof)
    if any(json.loads(one.text)["seq"] == seq for one in part.events):
        return proof
    (body,) = (one.body for one in store.events(chain=[CHAIN]) if one.seq == seq)
    events = sorted(
        (*part.events, ProvedEvent(body, ())), key=lambda one: int(json.loads(one.text)["seq"])
    )
    return with_part(proof, events=tuple(events))


def cosigned_at(store: SqliteStore, proof: Proof, size: int) -> Proof:
    """The proof with one earlier checkpoint, cosigned by the official of the last one."""
    private, origin = store.key(origin_in(store, CHAIN)), origin_in(store, CHAIN)
    assert private is not None
    key, secret = unlock(store, "newts-wm1", PASSPHRASE)
    hashes = store.hashes(CHAIN)
    tree = parse_checkpoint(parse_note(part_of(proof).note.encode()).text)
    note = sign_checkpoint(Checkpoint(origin, size, root(hashes[:size])), private)
    note = add_signature(note, cosign_note(note, key.key.name, secret, time=1))
    path = prove_consistency(hashes, size, tree.size)
    return with_part(proof, earlier=(EarlierCheckpoint(format_note(note).decode(), path),))


def test_a_key_signs_nothing_before_it_is_stated(signed: SqliteStore, proof: Proof) -> None:
    assert "not in force when it signed" in said(check_proof(cosigned_at(signed, proof, 300)))
    own = json.loads(part_of(proof).events[where(proof, "official_key")].text)["seq"]
    after = cosigned_at(signed, proof, own + 1)
    assert "not in force" not in "".join(check_proof(after).differences)


def test_a_name_cannot_steer_a_terminal(signed: SqliteStore, proof: Proof) -> None:
    lie = retold(proof, "x")
    lie = replace(lie, disclosures=(ShownText("office:\x1b[2J", "x"),))
    assert "\x1b" not in said(check_proof(lie))


def test_what_it_cannot_prove_is_said(proof: Proof) -> None:
    text = {section.heading: section.lines for section in sections(check_proof(proof))}
    cannot = " ".join(text["What this cannot prove"])
    for words in ("true", "other", "times", "Whose keys"):
        assert words in cannot
    signers = " ".join(text["Who signed"])
    assert "newts-wm1 (weighmaster of newts)" in signers
    assert "UTC" in signers
