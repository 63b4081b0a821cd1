"""The league's certificate authority, and the leaf that it gives the page. Pure: no files.

A phone that trusts the authority trusts it for private addresses and for one name, and for nothing
else (RFC 5280, section 4.2.1.10): whoever gets its key cannot speak for a site on the internet.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from ipaddress import IPv4Address, IPv4Network

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

AUTHORITY_DAYS = 5 * 365
LEAF_DAYS = 90
"""Browsers refuse more than 398 (CA/Browser Forum, Baseline Requirements, section 6.3.2)."""
RENEW_DAYS = 30
BACKDATED = timedelta(days=1)
"""A phone whose clock is behind takes a new leaf all the same."""
PRIVATE = tuple(
    IPv4Network(text)
    for text in ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16")
)
"""RFC 1918, section 3; RFC 3927, section 2.1. A constraint on addresses that names only these
permits no IPv6 address either."""
_LONGEST_NAME = 64  # RFC 5280, appendix A.1: ub-common-name; `cryptography` counts bytes


@dataclass(frozen=True)
class Signer:
    """A certificate and its private key."""

    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey

    @property
    def until(self) -> datetime:
        return self.certificate.not_valid_after_utc


def is_private(address: str) -> bool:
    """Whether an authority may vouch for this IPv4 address."""
    try:
        return any(IPv4Address(address) in network for network in PRIVATE)
    except ValueError:
        return False


def make_authority(league: str, name: str, now: datetime) -> Signer:
    """A new authority, for private addresses and `name`."""
    key = ec.generate_private_key(ec.SECP256R1())
    title = f"weighbook, {league}" if league else "weighbook"
    subject = _common_name(title)
    permitted = [x509.DNSName(name), *(x509.IPAddress(network) for network in PRIVATE)]
    made = (
        _begun(subject, subject, key, now, now + timedelta(days=AUTHORITY_DAYS))
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(x509.NameConstraints(permitted, None), critical=True)
        .add_extension(_usage(key_cert_sign=True), critical=True)
    )
    return Signer(made.sign(key, hashes.SHA256()), key)


def name_of(authority: x509.Certificate) -> str:
    """The one DNS name that this authority vouches for."""
    constraints = authority.extensions.get_extension_for_class(x509.NameConstraints).value
    names = [one.value for one in constraints.permitted_subtrees or () if _is_name(one)]
    return str(names[0])


def make_leaf(authority: Signer, addresses: Collection[str], now: datetime) -> Signer:
    """A certificate for these addresses and the authority's name, by a new key."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = name_of(authority.certificate)
    names = [x509.DNSName(name), *(x509.IPAddress(IPv4Address(one)) for one in sorted(addresses))]
    issuer = authority.certificate
    until = min(now + timedelta(days=LEAF_DAYS), authority.until)
    made = (
        _begun(_common_name(name), issuer.subject, key, now, until)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.SubjectAlternativeName(names), critical=False)
        .add_extension(_usage(digital_signature=True), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(_issued_by(issuer), critical=False)
    )
    return Signer(made.sign(authority.key, hashes.SHA256()), key)


def is_current(
    leaf: x509.Certificate, authority: x509.Certificate, addresses: Collection[str], now: datetime
) -> bool:
    """Whether the leaf is of this authority, vouches for all addresses, and lasts a while."""
    names = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    known = {str(one) for one in names.get_values_for_type(x509.IPAddress)}
    try:
        leaf.verify_directly_issued_by(authority)
    except (InvalidSignature, ValueError):
        return False
    ends = leaf.not_valid_after_utc
    lasts = ends - now > timedelta(days=RENEW_DAYS) or ends == authority.not_valid_after_utc
    return known >= set(addresses) and leaf.not_valid_before_utc <= now < ends and lasts


def utc_now() -> datetime:
    return datetime.now(UTC).replace(microsecond=0)


def _begun(
    subject: x509.Name,
    issuer: x509.Name,
    key: ec.EllipticCurvePrivateKey,
    now: datetime,
    until: datetime,
) -> x509.CertificateBuilder:
    public = key.public_key()
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(public)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - BACKDATED)
        .not_valid_after(until)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(public), critical=False)
    )


def _common_name(text: str) -> x509.Name:
    cut = text.encode()[:_LONGEST_NAME].decode(errors="ignore")
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, cut)])


def _issued_by(issuer: x509.Certificate) -> x509.AuthorityKeyIdentifier:
    known = issuer.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    return x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(known)


def _is_name(name: x509.GeneralName) -> bool:
    return isinstance(name, x509.DNSName)


def _usage(*, key_cert_sign: bool = False, digital_signature: bool = False) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=digital_signature,
        key_cert_sign=key_cert_sign,
        crl_sign=False,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )
