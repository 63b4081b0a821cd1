"""What a phone signs, to the byte: the page in the browser makes the same texts by itself."""

from __future__ import annotations

from base64 import b64encode
from dataclasses import replace
from typing import Any

import pytest

from ledger.chain.cosignature import cosigner_key
from ledger.chain.event import Event
from ledger.chain.keys import public_key, sign
from ledger.chain.note import VerifierKey, format_verifier_key
from ledger.chain.others import State, format_others
from ledger.chain.phone import (
    check_key_proof,
    check_list_signature,
    code_of,
    key_text,
    sign_in_text,
    signature_text,
)
from ledger.errors import InputError, IntegrityError

ORIGIN = "invented-league/2026/office"
PRIVATE = bytes(range(32))
KEY = cosigner_key(f"wa@{ORIGIN}", public_key(PRIVATE))
LINE = format_verifier_key(KEY)
SEEN = {"tent": State(3, bytes(32)), "office": State(57, b"\xab" * 32)}
NUMBER = "cd" * 32


def test_the_texts_to_the_byte() -> None:
    assert key_text("a+b+c") == b"weighbook-key/v1\na+b+c\n"
    assert sign_in_text("https://x.example", "wa", "t0k") == (
        b"weighbook-sign-in/v1\nhttps://x.example\nwa\nt0k\n"
    )
    said = signature_text(ORIGIN, "g1", "elm", "wa", NUMBER, SEEN)
    assert said.decode().splitlines() == [
        "weighbook-signature/v1", ORIGIN, "g1", "elm", "wa", NUMBER,
        f"office 57 {'ab' * 32}", f"tent 3 {'00' * 32}",
    ]  # fmt: skip
    assert said.endswith(b"\n")


def test_a_proof_is_of_one_key() -> None:
    proof = b64encode(sign(PRIVATE, key_text(LINE))).decode()
    check_key_proof(KEY, proof)
    for other in (VerifierKey("we@x/y/z", KEY.public, KEY.kind), cosigner_key(KEY.name, bytes(32))):
        with pytest.raises(IntegrityError):
            check_key_proof(other, proof)
    with pytest.raises(InputError):
        check_key_proof(KEY, proof.rstrip("="))


def signed(**data: Any) -> Event:
    text = signature_text(ORIGIN, "g1", "elm", "wa", NUMBER, SEEN)
    said = {"list": NUMBER, "seen": format_others(SEEN)}
    said |= {"signature": b64encode(sign(PRIVATE, text)).decode()} | data
    now = "2026-09-05T14:30:00.000Z"
    return Event("office", 60, bytes(32), "s", "countersign", now, said,
                 by="wa", game="g1", team="elm")  # fmt: skip


def test_every_word_of_the_statement_is_signed() -> None:
    event = signed()
    check_list_signature(event, ORIGIN, KEY)
    others = [
        replace(event, game="g2"), replace(event, team="ash"), replace(event, by="we"),
        signed(list="ef" * 32), signed(seen=format_others(SEEN | {"tent": State(4, bytes(32))})),
        signed(seen=format_others({"office": SEEN["office"]})),
    ]  # fmt: skip
    for other in others:
        with pytest.raises(IntegrityError):
            check_list_signature(other, ORIGIN, KEY)
    with pytest.raises(IntegrityError):
        check_list_signature(event, "invented-league/2027/office", KEY)


@pytest.mark.parametrize(
    "data",
    [{"seen": {}}, {"seen": 1}, {"seen": {"office": {"size": 0, "root": "00" * 32}}},
     {"signature": 5}, {"signature": "x"}, {"list": None}, {"list": f"{NUMBER}\n"}],
)  # fmt: skip
def test_what_cannot_be_read(data: dict[str, Any]) -> None:
    with pytest.raises(InputError):
        check_list_signature(signed(**data), ORIGIN, KEY)


def test_a_code_has_no_letter_that_is_misheard() -> None:
    codes = {code_of(f"{LINE}{n}") for n in range(500)}
    assert len(codes) == 500
    assert not set("".join(codes)) & set("0O1IL")
    assert {len(code) for code in codes} == {8}
