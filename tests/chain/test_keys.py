"""Keys: the published signatures, and a seal for one passphrase and one key only.

Most tests run scrypt at a small cost; `test_the_cost_is_the_real_one` runs it at the real one.
"""

from __future__ import annotations

import base64
import json
import unicodedata
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from cryptography.hazmat import asn1
from cryptography.hazmat.primitives.asymmetric.x25519 import X25519PrivateKey
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt
from cryptography.hazmat.primitives.serialization import (
    BestAvailableEncryption,
    Encoding,
    PrivateFormat,
    load_der_private_key,
)
from hypothesis import given
from hypothesis import strategies as st

from ledger.chain import keys
from ledger.chain.keys import (
    KeyPair,
    check_signature,
    make_key,
    open_key,
    public_key,
    seal_key,
    sign,
)
from ledger.errors import InputError, IntegrityError, LedgerError, RuleError
from tests.chain.mutation import damaged_bytes

VECTORS = Path(__file__).parents[1] / "vectors"
SIGNATURES = json.loads((VECTORS / "ed25519.json").read_text())["cases"]
SEALS = json.loads((VECTORS / "sealed_keys.json").read_text())

REAL_COST = keys.SCRYPT_COST
SMALL_COST = 2
ORDER = 2**252 + 27742317777372353535851937790883648493
"""The order of the group of Ed25519 (RFC 8032 section 5.1)."""


@pytest.fixture(autouse=True, scope="module")
def small_cost() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(keys, "SCRYPT_COST", SMALL_COST)
        yield


PRIVATE = bytes(range(32))
PUBLIC = public_key(PRIVATE)


@pytest.mark.parametrize("case", SIGNATURES, ids=lambda case: case["name"])
def test_published_signatures(case: dict[str, str]) -> None:
    """RFC 8032 section 7.1."""
    private, public, message, signature = (
        bytes.fromhex(case[part]) for part in ("private", "public", "message", "signature")
    )
    assert public_key(private) == public
    assert sign(private, message) == signature
    check_signature(public, message, signature)


def test_a_signature_has_one_form() -> None:
    """RFC 8032 section 5.1.7: the same signature plus the group's order is not one."""
    signature = sign(PRIVATE, b"text")
    second = int.from_bytes(signature[32:], "little") + ORDER
    with pytest.raises(IntegrityError):
        check_signature(PUBLIC, b"text", signature[:32] + second.to_bytes(32, "little"))


@given(damaged_bytes(sign(PRIVATE, b"text")) | st.binary())
def test_a_damaged_signature_is_refused(signature: bytes) -> None:
    with pytest.raises(IntegrityError, match="does not match this text and key") as refused:
        check_signature(PUBLIC, b"text", signature)
    assert refused.value.found == signature.hex()
    assert "another key signed it" in refused.value.hint


@given(st.binary())
def test_any_bytes_as_a_public_key_are_refused_with_our_errors_only(public: bytes) -> None:
    with pytest.raises(LedgerError):
        check_signature(public, b"text", sign(PRIVATE, b"text"))


@given(st.binary().filter(lambda data: len(data) != 32))
def test_a_private_key_has_32_bytes(private: bytes) -> None:
    with pytest.raises(InputError, match="a private key has 32 bytes"):
        sign(private, b"text")


def test_keys_are_new_each_time_and_never_shown() -> None:
    first, second = make_key(), make_key()
    assert first != second
    assert first.public == public_key(first.private)
    assert first.private.hex() not in repr(first)
    assert repr(first.private) not in repr(first)


@pytest.mark.parametrize("case", SEALS["scrypt"], ids=lambda case: f"N={case['N']}")
def test_published_scrypt_keys(case: dict[str, Any]) -> None:
    """RFC 7914 section 12, of the implementation that the seal uses."""
    scrypt = Scrypt(case["salt"].encode(), 64, case["N"], case["r"], case["p"])
    assert scrypt.derive(case["password"].encode()).hex() == case["key"]


@pytest.mark.parametrize("case", SEALS["containers"], ids=["OpenSSL", "cryptography_vectors"])
def test_the_container_is_written_as_others_write_it(case: dict[str, Any]) -> None:
    """The same key, passphrase, salt, vector and cost give the same bytes as OpenSSL's."""
    sealed, secret = bytes.fromhex(case["sealed"]), case["passphrase"].encode()
    given_ = asn1.decode_der(keys._EncryptedPrivateKeyInfo, sealed).encryption.parameters
    ours = keys._format_sealed(
        bytes.fromhex(case["private"]),
        secret,
        salt=given_.derivation.parameters.salt,
        initial_vector=given_.encryption.initial_vector,
        cost=case["N"],
    )
    assert ours == sealed


@pytest.mark.parametrize("case", SEALS["containers"], ids=["OpenSSL", "cryptography_vectors"])
def test_a_container_with_a_smaller_cost_is_refused(case: dict[str, Any]) -> None:
    private = bytes.fromhex(case["private"])
    with pytest.raises(InputError, match="does not write"):
        open_key(bytes.fromhex(case["sealed"]), case["passphrase"], public_key(private))


def test_the_cost_is_the_real_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """OWASP password storage sheet: scrypt N = 2^17, r = 8, p = 1 at the least."""
    monkeypatch.setattr(keys, "SCRYPT_COST", REAL_COST)
    sealed = seal_key(PRIVATE, "orange")
    scrypt = asn1.decode_der(keys._EncryptedPrivateKeyInfo, sealed).encryption.parameters.derivation
    assert (scrypt.parameters.cost, scrypt.parameters.block, scrypt.parameters.parallel) == (
        2**17,
        8,
        1,
    )
    assert open_key(sealed, "orange", PUBLIC) == PRIVATE


@given(st.binary(min_size=32, max_size=32), st.text(min_size=6))
def test_a_sealed_key_opens_to_its_passphrase(private: bytes, passphrase: str) -> None:
    try:
        sealed = seal_key(private, passphrase)
    except RuleError:
        assert len(unicodedata.normalize("NFC", passphrase)) < 6
        return
    assert private not in sealed
    assert open_key(sealed, passphrase, public_key(private)) == private
    with pytest.raises(RuleError):
        open_key(sealed, passphrase + "x", public_key(private))


def test_a_second_reader_opens_it() -> None:
    opened = load_der_private_key(seal_key(PRIVATE, "six or more"), b"six or more")
    assert opened.public_key().public_bytes_raw() == PUBLIC  # type: ignore[union-attr]


def test_two_seals_of_one_key_differ() -> None:
    assert seal_key(PRIVATE, "orange") != seal_key(PRIVATE, "orange")


def test_one_passphrase_typed_on_two_keyboards_is_one() -> None:
    sealed = seal_key(PRIVATE, "caf\u00e9 au lait")
    assert open_key(sealed, "cafe\u0301 au lait", PUBLIC) == PRIVATE


@pytest.mark.parametrize("passphrase", ["", "nope", "orange ", "Orange", "orang", "\0"])
def test_a_wrong_passphrase_says_that_a_lost_one_is_a_new_key(passphrase: str) -> None:
    with pytest.raises(RuleError, match="does not open this key") as refused:
        open_key(seal_key(PRIVATE, "orange"), passphrase, PUBLIC)
    assert "If it is lost, another registrar or president makes a new key" in refused.value.hint


@pytest.mark.parametrize("passphrase", ["", "12345", "ééééé", "e\u0301" * 5])
def test_a_passphrase_has_six_characters(passphrase: str) -> None:
    """NIST SP 800-63B-4, activation secret; a composed letter is one character."""
    with pytest.raises(RuleError, match="at least 6 characters") as refused:
        seal_key(PRIVATE, passphrase)
    assert "few words" in refused.value.hint


@pytest.mark.parametrize("passphrase", ["123456", "      ", "aaaaaa", "🏈🏈🏈🏈🏈🏈", "x" * 2000])
def test_no_rule_says_what_a_passphrase_is_made_of(passphrase: str) -> None:
    assert open_key(seal_key(PRIVATE, passphrase), passphrase, PUBLIC) == PRIVATE


def test_a_passphrase_is_unicode_text() -> None:
    for use in (
        lambda: seal_key(PRIVATE, "\ud800" * 6),
        lambda: open_key(seal_key(PRIVATE, "orange"), "\ud800", PUBLIC),
    ):
        with pytest.raises(InputError, match="not Unicode text"):
            use()


def test_an_exchanged_key_is_found_out() -> None:
    other = KeyPair(bytes(32), public_key(bytes(32)))
    with pytest.raises(IntegrityError, match="does not match its public key") as refused:
        open_key(seal_key(other.private, "orange"), "orange", PUBLIC)
    assert (refused.value.expected, refused.value.found) == (PUBLIC.hex(), other.public.hex())
    assert "swapped" in refused.value.hint


def test_a_stated_length_of_the_derived_key_is_that_of_the_cipher() -> None:
    """RFC 7914 section 7: keyLength is optional; AES-256 needs 32."""
    container = asn1.decode_der(keys._EncryptedPrivateKeyInfo, seal_key(PRIVATE, "orange"))
    for length in (32, 16):
        container.encryption.parameters.derivation.parameters.key_length = length
        sealed = asn1.encode_der(container)
        if length == 32:
            assert open_key(sealed, "orange", PUBLIC) == PRIVATE
            continue
        with pytest.raises(InputError, match="does not write"):
            open_key(sealed, "orange", PUBLIC)


def test_a_key_of_another_kind_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(keys, "_private", X25519PrivateKey.from_private_bytes)
    sealed = seal_key(PRIVATE, "orange")
    with pytest.raises(InputError, match="not an Ed25519 key"):
        open_key(sealed, "orange", PUBLIC)


def test_a_container_sealed_in_another_way_is_refused() -> None:
    """The library's own choice for PKCS #8 is PBKDF2; its parameters are not an scrypt's."""
    foreign = X25519PrivateKey.generate().private_bytes(
        Encoding.DER, PrivateFormat.PKCS8, BestAvailableEncryption(b"orange")
    )
    with pytest.raises(InputError, match="not a sealed key"):
        open_key(foreign, "orange", PUBLIC)


@given(st.binary() | damaged_bytes(keys._format_sealed(
    PRIVATE, b"orange", salt=bytes(16), initial_vector=bytes(16), cost=SMALL_COST
)))  # fmt: skip
def test_a_damaged_seal_opens_to_nothing_else(sealed: bytes) -> None:
    try:
        private = open_key(sealed, "orange", PUBLIC)
    except (InputError, RuleError, IntegrityError):
        return
    assert private == PRIVATE


def test_what_only_looks_like_a_key_after_decryption_is_refused() -> None:
    """OpenSSL refuses this one with an error of its own kind; found by atheris."""
    sealed = base64.b64decode(
        "MIGaMFYGCSqGSIb3DQEFDTBJMCgGCSsGAQQB2kcECzAbBBBiq1ZpwPp9ELZWZRkQnLLFAgECAgEIAgEBMB0GCWCG"
        "SAFlAwQBKgQQSduC509BLu9AMFzucRGwTgRAfatREHvCSUT8FVOs9fMzKcpO0ttcxvt26AtnOKlrAZOCSsCgOwLl"
        "7bWpVzqhd5fCRr7rapLTm9M5da2GJnC+Aw=="
    )
    with pytest.raises(RuleError, match="does not open this key"):
        open_key(sealed, "no secret", PUBLIC)
