"""Checkpoints: the lines as published, one way to write each, and one ledger behind each."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tlog_scales.signing import PlainEd25519Signer
from tlog_scales.signing import Vkey as RefereeKey
from tlog_scales.tlog import Checkpoint as RefereeCheckpoint

from ledger.chain.checkpoint import (
    Checkpoint,
    check_checkpoint,
    format_checkpoint,
    parse_checkpoint,
    sign_checkpoint,
)
from ledger.chain.keys import public_key
from ledger.chain.merkle import EMPTY_ROOT
from ledger.chain.note import (
    VerifierKey,
    format_note,
    format_verifier_key,
    parse_note,
    sign_note,
)
from ledger.errors import InputError, IntegrityError
from tests.chain.mutation import damaged_bytes, damaged_text

PUBLISHED = json.loads((Path(__file__).parents[1] / "vectors" / "signed_notes.json").read_text())
EXAMPLE = PUBLISHED["checkpoint"]
ROOT = "CsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I="

PRIVATE = bytes(range(32))
ORIGIN = "league.example/2026/office"
KEY = VerifierKey(ORIGIN, public_key(PRIVATE))
CHECKPOINT = Checkpoint(ORIGIN, 57, bytes(32))
SIGNED = sign_checkpoint(CHECKPOINT, PRIVATE)

lines = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1)
checkpoints = st.builds(
    Checkpoint,
    lines,
    st.integers(1, 2**64 - 1),
    st.binary(min_size=32, max_size=32),
    st.lists(lines, max_size=3).map(tuple),
)


def test_the_published_checkpoint() -> None:
    """C2SP tlog-checkpoint; its public key is not given, so it is read and not checked."""
    text = parse_note(EXAMPLE["note"].encode()).text
    checkpoint = parse_checkpoint(text)
    assert (checkpoint.origin, checkpoint.size) == (EXAMPLE["origin"], EXAMPLE["size"])
    assert checkpoint.root.hex() == (
        "0ac5186a91863e8e1d90c808014aa89bf5da8e3ee1d9f07630f0378f68f1ab62"  # base64 -d of the line
    )
    assert format_checkpoint(checkpoint) == text


@given(checkpoints)
def test_every_checkpoint_comes_back_from_its_lines(checkpoint: Checkpoint) -> None:
    assert parse_checkpoint(format_checkpoint(checkpoint)) == checkpoint


def test_extension_lines_are_kept() -> None:
    checkpoint = parse_checkpoint(f"a\n1\n{ROOT}\nfirst\nsecond\n")
    assert checkpoint.extensions == ("first", "second")
    assert format_checkpoint(checkpoint) == f"a\n1\n{ROOT}\nfirst\nsecond\n"


@pytest.mark.parametrize(
    "size",
    [
        *("", "00", "01", "+5", "-1", "1_000", "1,000", "1e3", "0x10", " 5", "5 ", "5.0", "٣", "²"),
        *("18446744073709551616", "9" * 5000),
    ],
)
def test_a_size_has_one_form(size: str) -> None:
    with pytest.raises(InputError):
        parse_checkpoint(f"{ORIGIN}\n{size}\n{ROOT}\n")


@pytest.mark.parametrize(
    "root",
    [
        "",
        ROOT[:-1],
        ROOT + "=",
        ROOT[:-2] + "J=",  # the same 32 bytes, with an unused bit set
        ROOT.replace("/", "_"),
        ROOT + " ",
        "AAAA",
        "CsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2IA",  # 33 bytes
    ],
)
def test_a_root_is_32_bytes_in_one_form(root: str) -> None:
    with pytest.raises(InputError):
        parse_checkpoint(f"{ORIGIN}\n5\n{root}\n")


@pytest.mark.parametrize(
    "text",
    [
        "",
        "\n",
        f"{ORIGIN}\n5\n",
        f"{ORIGIN}\n5\n{ROOT}",
        f"\n5\n{ROOT}\n",
        f"{ORIGIN}\n5\n{ROOT}\n\n",
        f"{ORIGIN}\n5\n{ROOT}\n\nextension\n",
        f"{ORIGIN}\r\n5\r\n{ROOT}\r\n",
    ],
)
def test_what_is_not_exactly_a_checkpoint_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        parse_checkpoint(text)


def test_an_empty_ledger_has_the_empty_root() -> None:
    empty = Checkpoint(ORIGIN, 0, EMPTY_ROOT)
    assert parse_checkpoint(format_checkpoint(empty)) == empty
    with pytest.raises(InputError, match="no events"):
        format_checkpoint(Checkpoint(ORIGIN, 0, bytes(32)))


@pytest.mark.parametrize(
    "checkpoint",
    [
        Checkpoint("", 1, bytes(32)),
        Checkpoint("two\nlines", 1, bytes(32)),
        Checkpoint(ORIGIN, -1, bytes(32)),
        Checkpoint(ORIGIN, 2**64, bytes(32)),
        Checkpoint(ORIGIN, 1, bytes(31)),
        Checkpoint(ORIGIN, 1, bytes(32), ("",)),
    ],
)
def test_what_no_checkpoint_carries_is_not_written(checkpoint: Checkpoint) -> None:
    with pytest.raises(InputError):
        format_checkpoint(checkpoint)


@given(st.text() | damaged_text(format_checkpoint(CHECKPOINT)))
def test_a_text_is_a_checkpoint_written_the_same_again_or_an_input_error(text: str) -> None:
    try:
        checkpoint = parse_checkpoint(text)
    except InputError:
        return
    assert format_checkpoint(checkpoint) == text


def test_a_signed_checkpoint_is_believed() -> None:
    assert check_checkpoint(parse_note(format_note(SIGNED)), KEY) == CHECKPOINT


def test_origin_and_key_fix_the_ledger() -> None:
    other = sign_note(format_checkpoint(CHECKPOINT), "secretary", PRIVATE)
    key = VerifierKey("secretary", public_key(PRIVATE))
    with pytest.raises(IntegrityError, match="from another ledger") as refused:
        check_checkpoint(other, key)
    assert (refused.value.expected, refused.value.found) == ("secretary", ORIGIN)
    assert "same league, season and chain" in refused.value.hint


def test_a_signed_text_that_is_no_checkpoint_is_refused() -> None:
    with pytest.raises(InputError, match="not a checkpoint"):
        check_checkpoint(sign_note("hello\n", ORIGIN, PRIVATE), KEY)


@given(damaged_bytes(format_note(SIGNED)))
def test_a_damaged_checkpoint_is_refused_or_says_the_same(data: bytes) -> None:
    try:
        checkpoint = check_checkpoint(parse_note(data), KEY)
    except (InputError, IntegrityError):
        return
    assert checkpoint == CHECKPOINT


@given(st.integers(1, 2**63), st.binary(min_size=32, max_size=32))
def test_a_second_implementation_writes_and_believes_the_same(size: int, root: bytes) -> None:
    ours = format_note(sign_checkpoint(Checkpoint(ORIGIN, size, root), PRIVATE))
    signers = [PlainEd25519Signer(ORIGIN, PRIVATE)]
    assert RefereeCheckpoint.make_signed(ORIGIN, size, root, signers).serialize().encode() == ours
    referee_key = RefereeKey.from_string(format_verifier_key(KEY))
    RefereeCheckpoint.from_text(ours.decode()).verify(referee_key)
