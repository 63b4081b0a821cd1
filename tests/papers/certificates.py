"""An invented authority and the certificate it gave an invented league, for signing papers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec, ed25519, rsa
from cryptography.hazmat.primitives.serialization import (
    BestAvailableEncryption,
    Encoding,
    NoEncryption,
    PrivateFormat,
    pkcs12,
)
from cryptography.x509.oid import NameOID

Key = rsa.RSAPrivateKey | ec.EllipticCurvePrivateKey | ed25519.Ed25519PrivateKey
NOW = datetime.now(UTC)
LEAGUE = "Invented Meadows Youth Football League"
PASSPHRASE = "sixteen wet socks"


@dataclass(frozen=True)
class Issued:
    """A certificate with the key that belongs to it."""

    certificate: x509.Certificate
    key: Key

    def der(self) -> bytes:
        return self.certificate.public_bytes(Encoding.DER)


def make_root() -> Issued:
    return _issue("Invented Authority", ec.generate_private_key(ec.SECP256R1()), None)


def issue(
    by: Issued,
    name: str,
    key: Key | None = None,
    *,
    is_authority: bool = False,
    valid: tuple[datetime, datetime] = (NOW - timedelta(days=1), NOW + timedelta(days=365)),
    for_signing: bool = True,
) -> Issued:
    """A certificate of `by`; with "" for a name it has none, as RFC 5280, 4.1.2.6, allows."""
    key = key or ec.generate_private_key(ec.SECP256R1())
    return _issue(name, key, by, is_authority=is_authority, valid=valid, for_signing=for_signing)


def as_pkcs12(own: Issued, *chain: Issued, passphrase: str = PASSPHRASE) -> bytes:
    """A PKCS #12 file of the certificate, its key and those above it."""
    lock = BestAvailableEncryption(passphrase.encode()) if passphrase else NoEncryption()
    return pkcs12.serialize_key_and_certificates(
        b"league", own.key, own.certificate, [one.certificate for one in chain], lock
    )


def as_pem(own: Issued) -> bytes:
    """Certificate and key as text, the usual other form."""
    key = own.key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    return own.certificate.public_bytes(Encoding.PEM) + key


def _issue(
    name: str,
    key: Key,
    by: Issued | None,
    *,
    is_authority: bool = True,
    valid: tuple[datetime, datetime] = (NOW - timedelta(days=2), NOW + timedelta(days=3650)),
    for_signing: bool = False,
) -> Issued:
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)] if name else [])
    usage = x509.KeyUsage(
        digital_signature=for_signing,
        content_commitment=for_signing,
        key_encipherment=not for_signing,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=is_authority,
        crl_sign=is_authority,
        encipher_only=False,
        decipher_only=False,
    )
    certificate = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(by.certificate.subject if by else subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(valid[0])
        .not_valid_after(valid[1])
        .add_extension(x509.BasicConstraints(ca=is_authority, path_length=None), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(by.key if by else key, hashes.SHA256())
    )
    return Issued(certificate, key)
