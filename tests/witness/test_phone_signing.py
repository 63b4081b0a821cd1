"""A list that a phone signed: witnessed late, proved, printed, told by its key."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from ledger.actions.asking import Acting
from ledger.actions.phone_signing import sign_with_phone, witness
from ledger.actions.signing import show_list
from ledger.audit.audit import audit
from ledger.chain.note import format_note, parse_note
from ledger.chain.others import format_others
from ledger.derive.engine import Engine
from ledger.derive.season_counts import read_tables
from ledger.errors import ChangedError, InputError, IntegrityError, RuleError
from ledger.field.phones import heads_told
from ledger.papers.press.heads import Heads
from ledger.papers.sheets.receipts import receipt_sheet
from ledger.say.proofs import sections
from ledger.store.hashed_texts import fixed_texts
from ledger.store.trees import Trees
from ledger.witness.check import check_proof, check_receipt
from ledger.witness.countersign import append_signature, under_the_lock
from ledger.witness.officials import key_of, revoke
from ledger.witness.phone_keys import enroll_phone, read_phone_key
from ledger.witness.phone_signing import countersign_by_phone, show_signed
from ledger.witness.proof import Proof
from ledger.witness.prove import prove_statements
from ledger.witness.vouching import is_forged, is_key_signature, vouched
from ledger.witness.witnessed import witnessed
from tests.phone import Phone
from tests.signing import OFFICE, Morning, morning

SIGNATURE = re.compile('"signature":"....')


@pytest.fixture
def one(tmp_path: Path) -> Iterator[Morning]:
    with morning(tmp_path) as begun:
        begun.state("list", by="we", player="a1", reason="over")
        yield begun


def phone_of(one: Morning, official: str = "we") -> Phone:
    phone = Phone(official, "invented-league/2026/office")
    enroll_phone(one.store, read_phone_key(official, phone.line, phone.proof), by="rg")
    return phone


def look(one: Morning, phone: Phone) -> None:
    trees = Trees(one.store)
    trees.catch_up()
    phone.seen = trees.others("")


def sign(one: Morning, phone: Phone, team: str = "ash") -> str:
    look(one, phone)
    shown = show_list(one.store, "g1", team, phone.official).shown
    signature = phone.signature(phone.origin, "g1", team, shown.number)
    acting = Acting(despite=frozenset(shown.settling.codes))
    return sign_with_phone(one.store, shown, signature, phone.seen, acting)


def cosign(one: Morning, phone: Phone, event: str) -> bytes:
    note = show_signed(one.store, event, {}).note
    return witness(one.store, event, phone.cosignature(note))[0]


def test_a_phone_may_witness_after_larger_checkpoints(one: Morning) -> None:
    phone = phone_of(one)
    event = sign(one, phone)
    assert is_key_signature(one.store, event)
    assert witnessed(one.store) == {}
    one.sign("wa", team="elm")
    one.sign("wa")
    last = list(one.store.checkpoints())[-1]
    cosign(one, phone, event)
    kept = list(one.store.checkpoints())[-1]
    assert kept.size < last.size
    report = audit(one.store.connection)
    assert report.ok, report.problems
    assert not any("witnessed" in note for note in report.notes)
    one.sign("wa")  # a passphrase's key goes by its own checkpoints
    assert audit(one.store.connection).ok


def test_what_is_shown_joins_whatever_the_phone_knows(one: Morning) -> None:
    one.state("list", by="we", player="a2", reason="absent", chain="tablet")
    phone = phone_of(one)
    event = sign(one, phone)
    assert phone.seen.keys() == {"office", "tablet"}
    for chain in ("office", "tablet"):
        one.state("concern", by="so", reason="helmet", team=None, chain=chain)
    signed_at = dict(phone.seen)
    look(one, phone)
    for seen in (signed_at, dict(phone.seen), {"tablet": signed_at["tablet"]}, {}):
        phone.seen = seen
        sizes = {chain: state.size for chain, state in seen.items()}
        shown = show_signed(one.store, event, sizes)
        told = {"note": format_note(shown.note).decode(), "key": shown.key, "seq": shown.event.seq,
                "chain": "office", "inclusion": [step.hex() for step in shown.inclusion],
                "heads": heads_told(shown.heads)}  # fmt: skip
        assert phone.witness(told, shown.body)
    false = {"office": 9, "tablet": 999}
    assert show_signed(one.store, event, false).heads["tablet"].proof == ()


def test_a_key_that_is_no_longer_in_force_signs_nothing(one: Morning) -> None:
    phone = phone_of(one)
    look(one, phone)
    key = key_of(one.store, "we")
    assert key is not None
    shown = show_list(one.store, "g1", "ash", "we").shown
    signature = phone.signature(phone.origin, "g1", "ash", shown.number)
    revoke(one.store, "we", by="rg", reason="lost", chain=OFFICE)
    with pytest.raises(RuleError, match="no longer in force"):
        countersign_by_phone(one.store, shown, key, signature, phone.seen)


def test_a_passphrases_key_makes_no_phones_signature(one: Morning) -> None:
    """Its holder typed the passphrase on a device that could have signed anything with it."""
    one.sign("wa")
    phone = Phone("wa", "invented-league/2026/office", pair=one.keys["wa"])
    look(one, phone)
    shown = show_list(one.store, "g1", "elm", "wa").shown
    signature = phone.signature(phone.origin, "g1", "elm", shown.number)
    said = {"how": "device", "signature": signature, "seen": format_others(phone.seen)}
    event = under_the_lock(
        one.store, shown, lambda writing, now, trees: append_signature(
            writing, shown, now, said, trees
        ),
    )  # fmt: skip
    assert is_forged(one.store, event)
    assert [one.problem for one in audit(one.store.connection).problems] == ["unknown key"]


def test_nobody_typed_what_the_phone_signed(one: Morning) -> None:
    """So the list of what an erasure leaves does not name it."""
    event = one.store.event(sign(one, phone_of(one)))
    typed = {text.text for text in fixed_texts([event])}
    assert not typed & {event.data["signature"], event.data["seen"]["office"]["root"]}


def test_what_was_seen_and_what_is_there(one: Morning) -> None:
    phone = phone_of(one)
    look(one, phone)
    shown = show_list(one.store, "g1", "ash", "we").shown
    signature = phone.signature(phone.origin, "g1", "ash", shown.number)
    acting = Acting(despite=frozenset(shown.settling.codes))
    false = {OFFICE: phone.seen[OFFICE]._replace(root=bytes(32))}
    with pytest.raises(IntegrityError, match="not the ledger that the phone saw"):
        sign_with_phone(one.store, shown, signature, false, acting)
    one.state("list", by="we", player="a2", reason="over")
    with pytest.raises(ChangedError):
        sign_with_phone(one.store, shown, signature, phone.seen, acting)
    assert one.events("countersign") == []


def test_a_proof_of_a_phones_signature(one: Morning) -> None:
    phone = phone_of(one)
    event = sign(one, phone)
    before = prove_statements(one.store, [event])
    checked = check_proof(before)
    assert checked.ok, checked.differences
    assert [found.phone.public for found in checked.lists] == [phone.pair.public]
    told = "\n".join(_told(before))
    assert f"{event}, the list of ash in g1: signed by we's phone; this proof has no" in told
    one.state("concern", by="so", reason="helmet", team=None)
    receipt = parse_note(cosign(one, phone, event))
    checked = check_proof(prove_statements(one.store, [event]))
    assert checked.ok, checked.differences
    assert check_receipt(checked, receipt).cosignatures[0].key.public == phone.pair.public
    assert checked.lists[0].is_cosigned
    changed = check_proof(_signed_otherwise(before))
    assert any("the signature does not match" in line for line in changed.differences)


def _signed_otherwise(proof: Proof) -> Proof:
    (chain,) = proof.chains
    events = tuple(
        replace(e, text=SIGNATURE.sub('"signature":"AAAA', e.text)) for e in chain.events
    )
    return replace(proof, chains=(replace(chain, events=events),))


def test_a_proof_without_the_phones_key_says_so(one: Morning) -> None:
    phone = phone_of(one)
    event = sign(one, phone)
    whole = prove_statements(one.store, [event])
    (chain,) = whole.chains
    others = tuple(e for e in chain.events if phone.line not in e.text)
    keys = tuple(key for key in whole.keys if key != phone.line)
    missing = f"That a phone made the signature {event}: this proof lacks its key."
    assert missing not in _told(whole)
    assert missing in _told(Proof(keys, (replace(chain, events=others),), ()))


def _told(proof: Proof) -> list[str]:
    checked = check_proof(proof)
    assert checked.ok, checked.differences
    return [line for section in sections(checked) for line in section.lines]


def test_a_packets_proof_is_the_same_after_the_witness(one: Morning) -> None:
    phone = phone_of(one)
    event = sign(one, phone)
    first = prove_statements(one.store, [event], with_late=False)
    cosign(one, phone, event)
    assert prove_statements(one.store, [event], with_late=False) == first


def test_a_receipt_is_printed_once_it_is_witnessed(one: Morning) -> None:
    phone = phone_of(one)
    event = sign(one, phone)
    with pytest.raises(InputError, match="has not witnessed"):
        receipt_sheet(Heads(one.store), event)
    cosign(one, phone, event)
    paper = receipt_sheet(Heads(one.store), event).context["paper"]
    assert (paper.how, paper.is_cosigned, paper.is_whole) == ("device", True, True)


def test_whose_key_it_is_and_what_the_season_counts(one: Morning) -> None:
    one.state("weigh", by="we", player="a1", value="over")
    phone = phone_of(one)
    event = sign(one, phone)
    behind = vouched(one.store, one.store.event(event))
    assert behind is not None
    assert (behind.by, behind.key.is_on_phone) == ("rg", True)
    assert not is_forged(one.store, event)
    engine = Engine([*one.store.events()])
    ways = {row["how"] for row in read_tables(engine).signatures if row["team"] == "ash"}
    assert ways == {"key", "missing"}
