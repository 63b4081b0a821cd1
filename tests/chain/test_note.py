"""Signed notes: the published example, strict reading, and whose signatures count."""

from __future__ import annotations

import json
from base64 import b64encode
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tlog_scales.signing import Vkey

from ledger.chain.keys import KeyPair, public_key
from ledger.chain.note import (
    COSIGNATURE,
    ED25519,
    MOST_BYTES,
    Note,
    NoteSignature,
    VerifierKey,
    add_signature,
    check_note,
    format_base64,
    format_note,
    format_verifier_key,
    parse_base64,
    parse_note,
    parse_verifier_key,
    sign_note,
)
from ledger.errors import InputError, IntegrityError
from tests.chain.mutation import damaged_bytes, damaged_text

PUBLISHED = json.loads((Path(__file__).parents[1] / "vectors" / "signed_notes.json").read_text())
EXAMPLE = PUBLISHED["signed_note"]["note"].encode()
EXAMPLE_KEY = parse_verifier_key(PUBLISHED["signed_note"]["verifier_key"])
CHECKPOINT = PUBLISHED["checkpoint"]["note"].encode()


def pair(number: int) -> KeyPair:
    private = bytes([number]) * 32
    return KeyPair(private, public_key(private))


ANN, BEN = pair(1), pair(2)
TEXT = "league.example\n7\n"
ANN_KEY = VerifierKey("ann@league.example", ANN.public)
BEN_KEY = VerifierKey("ben@league.example", BEN.public)
SIGNED = sign_note(TEXT, ANN_KEY.name, ANN.private)
BOTH = add_signature(SIGNED, sign_note(TEXT, BEN_KEY.name, BEN.private).signatures[0])


def test_the_published_note_verifies() -> None:
    """C2SP signed-note: example.com/foo, key id 530d903a."""
    note = parse_note(EXAMPLE)
    assert note.text == "This is an example message.\n"
    assert EXAMPLE_KEY.key_id.hex() == "530d903a"
    assert check_note(note, [EXAMPLE_KEY]) == (EXAMPLE_KEY,)
    assert format_note(note) == EXAMPLE


def test_the_published_checkpoint_is_read_and_written_unchanged() -> None:
    note = parse_note(CHECKPOINT)
    assert [line.key_id.hex() for line in note.signatures] == [
        PUBLISHED["checkpoint"]["log_key_id"],
        PUBLISHED["checkpoint"]["witness_key_id"],
    ]
    assert format_note(note) == CHECKPOINT


def test_the_last_empty_line_separates() -> None:
    note = sign_note("one\n\n\ntwo\n\n", ANN_KEY.name, ANN.private)
    assert parse_note(format_note(note)) == note
    assert check_note(note, [ANN_KEY])


def test_unknown_keys_are_kept_and_prove_nothing() -> None:
    stranger = NoteSignature("stranger.example", b"\0\1\2\3", b"no known kind of signature")
    note = parse_note(format_note(add_signature(SIGNED, stranger)))
    assert note.signatures[1] == stranger
    assert check_note(note, [BEN_KEY, ANN_KEY]) == (ANN_KEY,)


def test_a_name_or_an_id_alone_is_an_unknown_key() -> None:
    same_name = VerifierKey(ANN_KEY.name, BEN.public)
    same_id = NoteSignature("eve@league.example", ANN_KEY.key_id, bytes(64))
    assert check_note(add_signature(SIGNED, same_id), [same_name, ANN_KEY]) == (ANN_KEY,)
    with pytest.raises(IntegrityError, match="none of the known keys signed this note"):
        check_note(SIGNED, [same_name])


def test_signatures_may_stand_in_any_order() -> None:
    turned = Note(TEXT, BOTH.signatures[::-1])
    assert check_note(parse_note(format_note(turned)), [ANN_KEY, BEN_KEY]) == (ANN_KEY, BEN_KEY)


def test_one_false_line_of_a_known_key_spoils_the_note() -> None:
    false = NoteSignature(BEN_KEY.name, BEN_KEY.key_id, SIGNED.signatures[0].signature)
    note = add_signature(SIGNED, false)
    assert check_note(note, [ANN_KEY])
    with pytest.raises(IntegrityError, match="does not match this text and key") as refused:
        check_note(note, [ANN_KEY, BEN_KEY])
    assert "changed after it was signed" in refused.value.hint
    assert refused.value.found == false.signature.hex()


def test_a_note_nobody_known_signed_says_whom_to_ask() -> None:
    with pytest.raises(IntegrityError) as refused:
        check_note(SIGNED, [BEN_KEY])
    assert (refused.value.expected, refused.value.found) == (BEN_KEY.name, ANN_KEY.name)
    assert "verifier key" in refused.value.hint


def test_a_cosigners_key_does_not_sign_a_text() -> None:
    with pytest.raises(InputError, match="cosigner"):
        check_note(SIGNED, [VerifierKey("ann", ANN.public, COSIGNATURE)])


def test_between_16_and_100_signatures_are_read() -> None:
    """C2SP signed-note: a limit SHOULD be applied, of at least 16."""
    most = Note(TEXT, SIGNED.signatures * 100)
    assert len(parse_note(format_note(most)).signatures) == 100
    with pytest.raises(InputError, match="more than 100 signatures"):
        format_note(add_signature(most, SIGNED.signatures[0]))
    with pytest.raises(InputError, match="more than 1,000,000 bytes"):
        parse_note(b"x" * (MOST_BYTES + 1))


LINE = format_base64(SIGNED.signatures[0].key_id + SIGNED.signatures[0].signature)
STRAY = LINE[:-2] + chr(ord(LINE[-2]) + 1) + "="  # 68 bytes leave two bits unused: set one


@pytest.mark.parametrize(
    ("broken", "why"),
    [
        ("", "no empty line"),
        ("text\n", "no empty line"),
        ("text\n— a AAAABBBB\n", "no empty line"),
        ("text\n\n", "not a signature line"),
        ("text\n\n\n", "not a signature line"),
        (f"text\n\n— a {LINE}", "no newline at its end"),
        (f"text\n\n— a {LINE}\n\n", "not a signature line"),
        (f"text\n\n- a {LINE}\n", "line 3 of the note is not a signature line"),
        (f"text\n\n—a {LINE}\n", "not a signature line"),
        (f"text\n\n—  {LINE}\n", "cannot be a key name"),
        (f"text\n\n— {LINE}\n", "not a signature line"),
        (f"text\n\n— a b {LINE}\n", "not base64"),
        (f"text\n\n— a\u00a0b {LINE}\n", "cannot be a key name"),
        (f"text\n\n— a\u3000b {LINE}\n", "cannot be a key name"),
        (f"text\n\n— a+b {LINE}\n", "cannot be a key name"),
        (f"text\n\n— a {LINE} \n", "not base64"),
        (f"text\n\n— a {LINE[:-1]}\n", "not base64"),
        (f"text\n\n— a {LINE}=\n", "not base64|canonical"),
        (f"text\n\n— a {STRAY}\n", "not in canonical form"),
        (f"text\n\n— a {LINE.replace('/', '_').replace('+', '-')}!\n", "not base64"),
        ("text\n\n— a AAAA\n", "no signature after the key id|no signature"),
        ("text\n\n— a AAAAAA==\n", "no signature after the key id"),
        (f"text\r\n\n— a {LINE}\n", "control character"),
        (f"te\txt\n\n— a {LINE}\n", "control character"),
        (f"te\0xt\n\n— a {LINE}\n", "control character"),
    ],
)
def test_what_is_not_exactly_a_note_is_refused(broken: str, why: str) -> None:
    with pytest.raises(InputError, match=why):
        parse_note(broken.encode())


def test_a_note_is_utf_8() -> None:
    with pytest.raises(InputError, match="not UTF-8"):
        parse_note(EXAMPLE.replace(b"example", b"ex\xffmple", 1))


@pytest.mark.parametrize("text", ["no newline", "", "a\tb\n", "\ud800\n"])
def test_a_text_that_no_note_carries_is_not_signed(text: str) -> None:
    with pytest.raises(InputError):
        sign_note(text, ANN_KEY.name, ANN.private)


def test_a_text_that_is_not_unicode_is_not_checked_either() -> None:
    with pytest.raises(InputError, match="not Unicode"):
        check_note(Note("\ud800\n", SIGNED.signatures), [ANN_KEY])


@pytest.mark.parametrize(
    "line",
    [
        NoteSignature("\ud800", bytes(4), bytes(64)),
        NoteSignature("a b", bytes(4), bytes(64)),
        NoteSignature("ann", bytes(3), bytes(64)),
        NoteSignature("ann", bytes(4), b""),
    ],
)
def test_a_line_that_no_note_carries_is_not_written(line: NoteSignature) -> None:
    with pytest.raises(InputError):
        format_note(add_signature(SIGNED, line))


@given(st.text(st.characters(exclude_categories=["Cs", "Cc"]) | st.just("\n")))
def test_every_text_comes_back_from_its_note(text: str) -> None:
    note = sign_note(text + "\n", ANN_KEY.name, ANN.private)
    assert parse_note(format_note(note)) == note
    assert check_note(note, [ANN_KEY]) == (ANN_KEY,)


@given(st.binary() | damaged_bytes(format_note(BOTH)) | damaged_bytes(CHECKPOINT))
def test_bytes_are_a_note_written_the_same_again_or_an_input_error(data: bytes) -> None:
    try:
        note = parse_note(data)
    except InputError:
        return
    assert format_note(note) == data


@given(damaged_bytes(format_note(SIGNED)))
def test_a_damaged_note_never_speaks_with_another_text(data: bytes) -> None:
    try:
        note = parse_note(data)
        check_note(note, [ANN_KEY])
    except (InputError, IntegrityError):
        return
    assert note.text == TEXT


@pytest.mark.parametrize("kind", [ED25519, COSIGNATURE])
def test_a_second_implementation_names_keys_the_same(kind: int) -> None:
    key = VerifierKey("off-1@league.example", ANN.public, kind)
    referee = Vkey(key.name, None, kind, ANN.public)
    assert format_verifier_key(key) == referee.serialize()
    assert parse_verifier_key(referee.serialize()) == key


def test_a_published_verifier_key_is_read_and_written_unchanged() -> None:
    line = PUBLISHED["signed_note"]["verifier_key"]
    assert format_verifier_key(parse_verifier_key(line)) == line


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("", "not a verifier key"),
        ("example.com/foo+530d903a", "not a verifier key"),
        ("example.com/foo+530D903A+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k", "not a"),
        ("example.com/foo+530d903+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k", "not a"),
        ("example.com/foo+530d903b+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k", "wrong id"),
        ("example.com/fop+530d903a+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k", "wrong id"),
        ("example.com/foo+530d903a+AukyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k", "type 2"),
        ("example.com/foo+530d903a+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3Q==", "32 bytes"),
        ("example.com/foo+530d903a+", "type 0"),
        ("example.com/foo+530d903a+é", "not base64"),
        (" +530d903a+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k", "cannot be a key name"),
        ("+530d903a+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k", "cannot be a key name"),
        ("\ud800+530d903a+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k", "cannot be a key name"),
    ],
)
def test_what_is_not_exactly_a_verifier_key_is_refused(line: str, why: str) -> None:
    with pytest.raises(InputError, match=why):
        parse_verifier_key(line)


@given(st.text() | damaged_text(format_verifier_key(ANN_KEY)))
def test_a_line_is_a_verifier_key_written_the_same_again_or_an_input_error(line: str) -> None:
    try:
        key = parse_verifier_key(line)
    except InputError:
        return
    assert format_verifier_key(key) == line


@given(st.binary())
def test_base64_is_read_back(data: bytes) -> None:
    assert parse_base64(b64encode(data).decode()) == data


@given(st.text("ABCDefgh0123+/=-_ \n"))
def test_base64_has_one_form(text: str) -> None:
    try:
        data = parse_base64(text)
    except InputError:
        return
    assert format_base64(data) == text
