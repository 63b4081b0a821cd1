"""Ed25519 keys (RFC 8032): make them, use them, and seal them under a passphrase.

Keys and signatures are bytes: a private key is the 32-byte seed of RFC 8032 section 5.1.5, a
public key has 32 bytes, a signature 64.

A sealed key is a PKCS #8 EncryptedPrivateKeyInfo in DER (RFC 5958 section 3) by PBES2 (RFC 8018
section 6.2): scrypt (RFC 7914 section 7) with N = 2^17, r = 8, p = 1, the minimum of the OWASP
password storage sheet, then AES-256-CBC around the PrivateKeyInfo of RFC 8410.

    SEQUENCE
      SEQUENCE                        AlgorithmIdentifier: PBES2
        OID 1.2.840.113549.1.5.13
        SEQUENCE
          SEQUENCE                    scrypt: salt of 16 bytes, N, r, p
          SEQUENCE                    AES-256-CBC: initial vector of 16 bytes
      OCTET STRING                    the private key, encrypted

`cryptography` reads this form, but its writer has only PBKDF2 and bcrypt. Rejected: both need
little memory, so graphics cards guess fast. Hence this module writes the form with the package's
DER writer. Argon2id has no identifier in PKCS #5. The `openssl` command reads the form if it may
use 128 MiB; its default is 32.

CBC does not show changes, so opening asks for the public key and compares.

>>> pair = make_key()
>>> sealed = seal_key(pair.private, "six or more")
>>> open_key(sealed, "six or more", pair.public) == pair.private
True
"""

from __future__ import annotations

import os
import unicodedata
from dataclasses import dataclass, field

from cryptography.exceptions import InternalError, InvalidSignature, UnsupportedAlgorithm
from cryptography.hazmat import asn1
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.ciphers import Cipher, algorithms, modes
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt
from cryptography.hazmat.primitives.padding import PKCS7
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    load_der_private_key,
)
from cryptography.x509 import ObjectIdentifier

from ledger.errors import InputError, IntegrityError, RuleError, WrongPassphraseError

KEY_BYTES = 32
SIGNATURE_BYTES = 64
LEAST_PASSPHRASE = 6
"""Characters of an activation secret (NIST SP 800-63B-4), which asks for no mix of characters."""

SCRYPT_COST, SCRYPT_BLOCK, SCRYPT_PARALLEL = 2**17, 8, 1
SALT_BYTES = 16

_PBES2 = ObjectIdentifier("1.2.840.113549.1.5.13")
_SCRYPT = ObjectIdentifier("1.3.6.1.4.1.11591.4.11")
_AES_256_CBC = ObjectIdentifier("2.16.840.1.101.3.4.1.42")
_AES_KEY_BYTES, _AES_BLOCK_BYTES = 32, 16


@dataclass(frozen=True, slots=True)
class KeyPair:
    """A private key and its public key, 32 bytes each. repr never shows the private one."""

    private: bytes = field(repr=False)
    public: bytes


@asn1.sequence
class _ScryptParameters:
    salt: bytes
    cost: int
    block: int
    parallel: int
    key_length: int | None


@asn1.sequence
class _Scrypt:
    algorithm: ObjectIdentifier
    parameters: _ScryptParameters


@asn1.sequence
class _AesCbc:
    algorithm: ObjectIdentifier
    initial_vector: bytes


@asn1.sequence
class _Pbes2Parameters:
    derivation: _Scrypt
    encryption: _AesCbc


@asn1.sequence
class _Pbes2:
    algorithm: ObjectIdentifier
    parameters: _Pbes2Parameters


@asn1.sequence
class _EncryptedPrivateKeyInfo:
    encryption: _Pbes2
    data: bytes


def make_key() -> KeyPair:
    """Make a key pair from the system's random numbers."""
    private = Ed25519PrivateKey.generate().private_bytes_raw()
    return KeyPair(private, public_key(private))


def public_key(private: bytes) -> bytes:
    """Return the public key of a private key."""
    return _private(private).public_key().public_bytes_raw()


def sign(private: bytes, message: bytes) -> bytes:
    """Return the signature of `message` (RFC 8032 section 5.1.6), the same each time."""
    return _private(private).sign(message)


def check_signature(public: bytes, message: bytes, signature: bytes) -> None:
    """Raise IntegrityError unless `public` made this signature over `message`."""
    if len(public) != KEY_BYTES:
        raise InputError(f"a public key has {KEY_BYTES} bytes, not {len(public)}")
    try:
        Ed25519PublicKey.from_public_bytes(public).verify(signature, message)
    except (InvalidSignature, ValueError) as error:
        raise IntegrityError(
            "the signature does not match this text and key",
            hint="The text was changed after it was signed, or another key signed it.",
            field="signature",
            expected=f"a signature by {public.hex()}",
            found=signature.hex(),
        ) from error


def seal_key(private: bytes, passphrase: str) -> bytes:
    """Seal the private key under `passphrase`, with a new salt each time.

    Raises RuleError for a passphrase of fewer than 6 characters, InputError for one that is not
    Unicode text. Takes a third of a second and 128 MiB on purpose, against guessing.
    """
    secret = _passphrase_bytes(passphrase)
    if len(secret.decode()) < LEAST_PASSPHRASE:
        raise RuleError(
            f"a passphrase needs at least {LEAST_PASSPHRASE} characters",
            hint="A few words are easier to remember than one hard word.",
        )
    salt, initial_vector = os.urandom(SALT_BYTES), os.urandom(_AES_BLOCK_BYTES)
    return _format_sealed(
        private, secret, salt=salt, initial_vector=initial_vector, cost=SCRYPT_COST
    )


def open_key(sealed: bytes, passphrase: str, public: bytes) -> bytes:
    """Open the sealed private key of `public`.

    Raises InputError for anything but a sealed key of ours, WrongPassphraseError for a wrong
    passphrase (damage to the encrypted part looks the same), IntegrityError for another person's
    key.
    """
    secret = _passphrase_bytes(passphrase)
    _refuse_foreign(sealed)
    try:
        key = load_der_private_key(sealed, secret or None)
    # InternalError: the result looks like a key, and OpenSSL refuses it.
    except (ValueError, TypeError, UnsupportedAlgorithm, InternalError) as error:
        raise WrongPassphraseError(
            "the passphrase does not open this key",
            hint="Try again, and check capitals. If it is lost, another registrar or president "
            "makes a new key: weighbook enroll --replace --by. Old signatures stay valid.",
        ) from error
    if not isinstance(key, Ed25519PrivateKey):
        raise InputError("the sealed key is not an Ed25519 key")
    private = key.private_bytes_raw()
    if public_key(private) != public:
        raise IntegrityError(
            "the sealed key does not match its public key",
            hint="It was swapped, or it belongs to another official. Make a new key.",
            field="public key",
            expected=public.hex(),
            found=public_key(private).hex(),
        )
    return private


def _private(private: bytes) -> Ed25519PrivateKey:
    if len(private) != KEY_BYTES:
        raise InputError(f"a private key has {KEY_BYTES} bytes, not {len(private)}")
    return Ed25519PrivateKey.from_private_bytes(private)


def _passphrase_bytes(passphrase: str) -> bytes:
    """NFC, then UTF-8: all keyboards give the same bytes (RFC 8265 section 4.2.2)."""
    try:
        return unicodedata.normalize("NFC", passphrase).encode()
    except UnicodeEncodeError as error:
        raise InputError("the passphrase is not Unicode text") from error


def _format_sealed(
    private: bytes, secret: bytes, *, salt: bytes, initial_vector: bytes, cost: int
) -> bytes:
    key_info = _private(private).private_bytes(Encoding.DER, PrivateFormat.PKCS8, NoEncryption())
    padder = PKCS7(_AES_BLOCK_BYTES * 8).padder()
    padded = padder.update(key_info) + padder.finalize()
    key = Scrypt(salt, _AES_KEY_BYTES, cost, SCRYPT_BLOCK, SCRYPT_PARALLEL).derive(secret)
    encryptor = Cipher(algorithms.AES(key), modes.CBC(initial_vector)).encryptor()
    return _container(
        encryptor.update(padded) + encryptor.finalize(),
        _ScryptParameters(
            salt=salt, cost=cost, block=SCRYPT_BLOCK, parallel=SCRYPT_PARALLEL, key_length=None
        ),
        initial_vector,
    )


def _container(data: bytes, scrypt: _ScryptParameters, initial_vector: bytes) -> bytes:
    parameters = _Pbes2Parameters(
        derivation=_Scrypt(algorithm=_SCRYPT, parameters=scrypt),
        encryption=_AesCbc(algorithm=_AES_256_CBC, initial_vector=initial_vector),
    )
    encryption = _Pbes2(algorithm=_PBES2, parameters=parameters)
    return asn1.encode_der(_EncryptedPrivateKeyInfo(encryption=encryption, data=data))


def _refuse_foreign(sealed: bytes) -> None:
    # Before scrypt runs: a stranger's file could make it use any amount of memory and time.
    try:
        container = asn1.decode_der(_EncryptedPrivateKeyInfo, sealed)
    except (ValueError, OverflowError) as error:
        raise InputError("not a sealed key (PKCS #8, PBES2 with scrypt)") from error
    pbes2 = container.encryption.parameters
    scrypt, initial_vector = pbes2.derivation.parameters, pbes2.encryption.initial_vector
    if (
        (scrypt.cost, scrypt.block, scrypt.parallel) != (SCRYPT_COST, SCRYPT_BLOCK, SCRYPT_PARALLEL)
        or (len(scrypt.salt), len(initial_vector)) != (SALT_BYTES, _AES_BLOCK_BYTES)
        or scrypt.key_length not in (None, _AES_KEY_BYTES)
        or _container(container.data, scrypt, initial_vector) != sealed  # other algorithms
    ):
        raise InputError("a sealed key with parameters that this program does not write")
