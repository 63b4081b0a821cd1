"""Sign a paper with a league's certificate: PAdES, level B-B (ETSI EN 319 142-1).

The signature is invisible and comes after the paper's own bytes (ISO 32000-1, 7.5.6), so these and
the attached files stay as they are. Its field lies outside the page: PDF/A-3 forbids hidden fields
(ISO 19005-3, 6.3.2), and PDF/UA-1 wants a field on the page tagged (ISO 14289-1, 7.18.4). A
league's device may have no network, so there is no time-stamping service and no revocation list.
The signature's time is the device's clock.

Needs pyHanko, an extra: pip install 'weighbook[pades]'.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from ledger.errors import InputError, ReportError

if TYPE_CHECKING:
    from asn1crypto import x509  # type: ignore[import-untyped]
    from pyhanko.sign.signers import SimpleSigner

FIELD = "LeagueSignature"
FIELD_SAYS = "Signature with the league's certificate"
_EXPORT = "Export the certificate together with its private key, as one PKCS #12 file (.p12, .pfx)."
_FOR_SIGNING = {"digital_signature", "non_repudiation"}


@dataclass(frozen=True)
class LeagueCertificate:
    """A certificate with its private key, ready to sign; `name` is its owner's, or its number."""

    name: str
    signer: SimpleSigner

    def sign(self, pdf: bytes) -> bytes:
        """The paper with this certificate's signature after it; its own bytes do not change."""
        from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
        from pyhanko.sign.fields import InvisSigSettings, SigFieldSpec, SigSeedSubFilter
        from pyhanko.sign.signers import PdfSignatureMetadata, sign_pdf

        class Writer(IncrementalPdfFileWriter):
            def _update_meta(self) -> None:
                """Do nothing: pyHanko's new XMP would lack what PDF/A-3 wants for PDF/UA-1."""

        pades = SigSeedSubFilter.PADES
        about = PdfSignatureMetadata(
            field_name=FIELD, md_algorithm="sha256", name=self.name, subfilter=pades
        )
        field = SigFieldSpec(
            sig_field_name=FIELD,
            readable_field_name=FIELD_SAYS,
            invis_sig_settings=InvisSigSettings(box_out_of_bounds=True),
        )
        signed = io.BytesIO()
        sign_pdf(Writer(io.BytesIO(pdf)), about, self.signer, new_field_spec=field, output=signed)
        return signed.getvalue()


def require_pkcs12(data: bytes) -> None:
    """ReportError if pyHanko is missing; InputError if the data is not PKCS #12 (RFC 7292)."""
    try:
        import pyhanko.sign  # noqa: F401
        from asn1crypto import pkcs12
    except ImportError as error:
        raise ReportError(
            "signing with a certificate needs pyHanko, which is not installed",
            hint="Install it: pip install 'weighbook[pades]'.",
        ) from error
    try:
        is_pkcs12 = pkcs12.Pfx.load(data, strict=True)["version"].native == "v3"
    except (ValueError, TypeError):
        is_pkcs12 = False
    if not is_pkcs12:
        raise InputError("the certificate's file is not PKCS #12", hint=_EXPORT)


def open_certificate(data: bytes, passphrase: str, *, now: datetime) -> LeagueCertificate:
    """The certificate in a PKCS #12 file.

    Raises what `require_pkcs12` raises, and InputError for a wrong passphrase, a missing private
    key, and a certificate not valid at `now` (with a time zone) or not for signing.
    """
    require_pkcs12(data)
    from asn1crypto import keys, x509
    from cryptography.exceptions import InternalError, UnsupportedAlgorithm
    from cryptography.hazmat.primitives import serialization as form
    from cryptography.hazmat.primitives.asymmetric import ec, rsa
    from cryptography.x509.oid import NameOID
    from pyhanko.sign.signers import SimpleSigner
    from pyhanko_certvalidator.registry import SimpleCertificateStore

    try:
        key, own, others = form.pkcs12.load_key_and_certificates(data, passphrase.encode())
    except (ValueError, UnsupportedAlgorithm, InternalError) as error:
        raise InputError(
            "the certificate's file does not open with this passphrase",
            hint="Try again. If it is right, the file may be in an old format: export it again.",
        ) from error
    if key is None or own is None:
        raise InputError("the certificate's file has no private key", hint=_EXPORT)
    if not isinstance(key, rsa.RSAPrivateKey | ec.EllipticCurvePrivateKey):
        raise InputError(
            "PDF readers do not know the certificate's kind of key",
            hint="Use a certificate with an RSA key or a key on a NIST curve.",
        )
    der = form.Encoding.DER
    certificate = x509.Certificate.load(own.public_bytes(der))
    _require_usable(certificate, now)
    pkcs8 = key.private_bytes(der, form.PrivateFormat.PKCS8, form.NoEncryption())
    chain = [x509.Certificate.load(other.public_bytes(der)) for other in others]
    registry = SimpleCertificateStore.from_certs(chain)  # type: ignore[no-untyped-call]
    signer = SimpleSigner(certificate, keys.PrivateKeyInfo.load(pkcs8), registry)
    names = own.subject.get_attributes_for_oid(NameOID.COMMON_NAME)
    name = str(names[0].value) if names else own.subject.rfc4514_string()
    return LeagueCertificate(name or f"number {own.serial_number:x}", signer)


def _require_usable(certificate: x509.Certificate, now: datetime) -> None:
    begins, ends = certificate.not_valid_before, certificate.not_valid_after
    if not begins <= now <= ends:
        raise InputError(
            f"the certificate is valid from {begins:%Y-%m-%d} to {ends:%Y-%m-%d} only",
            hint="Ask its issuer to renew it, or check this device's clock.",
        )
    usage = certificate.key_usage_value
    if usage is not None and not usage.native & _FOR_SIGNING:
        raise InputError(
            "the certificate is not for signing",
            hint="Ask its issuer for one with the key usage nonRepudiation or digitalSignature.",
        )
