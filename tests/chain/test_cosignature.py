"""Cosignatures: the published form; false, foreign and moved ones are refused."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tlog_scales.signing import Vkey as RefereeKey
from tlog_scales.tlog import Checkpoint as RefereeCheckpoint

from ledger.chain.checkpoint import Checkpoint, check_checkpoint, sign_checkpoint
from ledger.chain.cosignature import (
    Cosignature,
    check_cosignatures,
    cosign_note,
    cosigner_key,
)
from ledger.chain.keys import check_signature, public_key
from ledger.chain.note import (
    Note,
    NoteSignature,
    VerifierKey,
    add_signature,
    format_note,
    format_verifier_key,
    parse_note,
    sign_note,
)
from ledger.errors import InputError, IntegrityError
from tests.chain.mutation import damaged_bytes

PUBLISHED = json.loads((Path(__file__).parents[1] / "vectors" / "signed_notes.json").read_text())
EXAMPLE = PUBLISHED["checkpoint"]

LEDGER, ANN, BEN = bytes([1]) * 32, bytes([2]) * 32, bytes([3]) * 32
ORIGIN = "league.example/2026/office"
LEDGER_KEY = VerifierKey(ORIGIN, public_key(LEDGER))
ANN_NAME, BEN_NAME = f"off-1@{ORIGIN}", f"off-2@{ORIGIN}"
ANN_KEY, BEN_KEY = (
    cosigner_key(ANN_NAME, public_key(ANN)),
    cosigner_key(BEN_NAME, public_key(BEN)),
)
NOON = 1_789_992_000
SIGNED = sign_checkpoint(Checkpoint(ORIGIN, 57, bytes(32)), LEDGER)
COSIGNED = add_signature(SIGNED, cosign_note(SIGNED, ANN_NAME, ANN, time=NOON))
BOTH = add_signature(COSIGNED, cosign_note(SIGNED, BEN_NAME, BEN, time=NOON + 60))


def test_the_published_cosignature_has_the_form_that_is_read() -> None:
    """C2SP tlog-cosignature; its public key is not given, so the form is compared."""
    line = parse_note(EXAMPLE["note"].encode()).signatures[1]
    assert len(line.signature) == 8 + 64
    assert int.from_bytes(line.signature[:8], "big") == EXAMPLE["cosignature_time"]


def test_what_is_signed_is_the_published_message() -> None:
    text = parse_note(EXAMPLE["note"].encode()).text
    line = cosign_note(Note(text, ()), ANN_NAME, ANN, time=EXAMPLE["cosignature_time"])
    check_signature(public_key(ANN), EXAMPLE["cosigned_message"].encode(), line.signature[8:])


def test_both_teams_cosign_one_checkpoint() -> None:
    note = parse_note(format_note(BOTH))
    assert check_cosignatures(note, [BEN_KEY, ANN_KEY]) == (
        Cosignature(ANN_KEY, NOON),
        Cosignature(BEN_KEY, NOON + 60),
    )
    assert check_checkpoint(note, LEDGER_KEY).size == 57


def test_an_official_who_did_not_sign_has_no_cosignature() -> None:
    assert check_cosignatures(COSIGNED, [BEN_KEY]) == ()


def test_several_by_one_official_stand_in_the_order_of_the_note() -> None:
    again = add_signature(COSIGNED, cosign_note(SIGNED, ANN_NAME, ANN, time=NOON + 5))
    again = add_signature(again, cosign_note(SIGNED, ANN_NAME, ANN, time=NOON - 5))
    found = check_cosignatures(again, [ANN_KEY])
    assert [one.time for one in found] == [NOON, NOON + 5, NOON - 5]


def test_a_cosignature_moved_to_another_checkpoint_is_false() -> None:
    other = sign_checkpoint(Checkpoint(ORIGIN, 58, bytes(32)), LEDGER)
    moved = add_signature(other, COSIGNED.signatures[1])
    with pytest.raises(IntegrityError, match="does not match this text and key"):
        check_cosignatures(moved, [ANN_KEY])


@given(st.integers(0, 71), st.integers(1, 255))
def test_no_byte_of_a_cosignature_may_change(place: int, change: int) -> None:
    line = COSIGNED.signatures[1]
    false = bytearray(line.signature)
    false[place] ^= change
    note = add_signature(SIGNED, NoteSignature(line.name, line.key_id, bytes(false)))
    with pytest.raises(IntegrityError):
        check_cosignatures(note, [ANN_KEY])


@pytest.mark.parametrize("length", [1, 64, 71, 73, 2428])
def test_a_cosignature_of_another_length_is_false(length: int) -> None:
    note = add_signature(SIGNED, NoteSignature(ANN_NAME, ANN_KEY.key_id, bytes(length)))
    with pytest.raises(IntegrityError, match="has the wrong form") as refused:
        check_cosignatures(note, [ANN_KEY])
    assert refused.value.expected == "72 bytes"


def test_a_key_of_a_text_and_a_key_of_a_cosigner_are_two() -> None:
    """The type byte is hashed into the key id, so neither passes for the other."""
    of_text = VerifierKey(ANN_NAME, public_key(ANN))
    assert of_text.key_id != ANN_KEY.key_id
    with pytest.raises(InputError, match="only a cosigner's key"):
        check_cosignatures(BOTH, [of_text])


def test_only_checkpoints_are_cosigned() -> None:
    note = sign_note("hello\n", ORIGIN, LEDGER)
    with pytest.raises(InputError, match="not a checkpoint"):
        cosign_note(note, ANN_NAME, ANN, time=NOON)
    with pytest.raises(InputError, match="not a checkpoint"):
        check_cosignatures(note, [ANN_KEY])
    with pytest.raises(InputError, match="not Unicode"):
        cosign_note(Note(f"\ud800\n1\n{'A' * 43}=\n", ()), ANN_NAME, ANN, time=NOON)


@pytest.mark.parametrize("time", [-1, 2**63])
def test_a_time_that_no_cosignature_carries_is_not_signed(time: int) -> None:
    with pytest.raises(InputError, match="not the time of a cosignature"):
        cosign_note(SIGNED, ANN_NAME, ANN, time=time)


def test_a_time_of_two_to_the_63_is_refused_when_read() -> None:
    """C2SP tlog-cosignature: the timestamp MUST NOT exceed 2^63 - 1."""
    line = NoteSignature(ANN_NAME, ANN_KEY.key_id, (2**63).to_bytes(8, "big") + bytes(64))
    with pytest.raises(IntegrityError, match="has the wrong form"):
        check_cosignatures(add_signature(SIGNED, line), [ANN_KEY])


@given(damaged_bytes(format_note(BOTH)))
def test_a_damaged_note_carries_no_other_cosignature(data: bytes) -> None:
    try:
        note = parse_note(data)
        found = check_cosignatures(note, [ANN_KEY, BEN_KEY])
    except (InputError, IntegrityError):
        return
    assert set(found) <= {Cosignature(ANN_KEY, NOON), Cosignature(BEN_KEY, NOON + 60)}
    assert not found or note.text == BOTH.text


@given(st.integers(1, 2**64 - 1), st.binary(min_size=32, max_size=32), st.integers(0, 2**63 - 1))
def test_a_second_implementation_believes_ours(size: int, root: bytes, time: int) -> None:
    note = sign_checkpoint(Checkpoint(ORIGIN, size, root), LEDGER)
    note = add_signature(note, cosign_note(note, ANN_NAME, ANN, time=time))
    referee = RefereeCheckpoint.from_text(format_note(note).decode())
    referee.verify(RefereeKey.from_string(format_verifier_key(ANN_KEY)))
    referee.verify(RefereeKey.from_string(format_verifier_key(LEDGER_KEY)))
