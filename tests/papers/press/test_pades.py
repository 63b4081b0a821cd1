"""A paper signed with a league's certificate: valid to others, and still the same paper."""

from __future__ import annotations

import io
import sys
from datetime import timedelta
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
from asn1crypto import x509
from cryptography.hazmat.primitives.asymmetric import ec, ed25519, rsa
from hypothesis import given, settings
from hypothesis import strategies as st
from pikepdf import Name
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.validation import validate_pdf_signature
from pyhanko.sign.validation.status import PdfSignatureStatus, SignatureCoverageLevel
from pyhanko_certvalidator import ValidationContext

from ledger.audit.kept import read_kept
from ledger.errors import InputError, LedgerError, ReportError
from ledger.papers.press.heads import Heads
from ledger.papers.press.pades import open_certificate, require_pkcs12
from ledger.papers.press.render import typeset_sheet
from ledger.papers.sheets.lists import list_sheet
from ledger.store.sqlite.store import SqliteStore
from tests.papers.certificates import (
    LEAGUE,
    NOW,
    PASSPHRASE,
    Issued,
    as_pem,
    as_pkcs12,
    issue,
    make_root,
)
from tests.papers.pdf_checks import pdf_problems

ROOT = make_root()
OFFICE = issue(ROOT, "Invented Office of Certificates", is_authority=True)
OWN = issue(OFFICE, LEAGUE)
FILE = as_pkcs12(OWN, OFFICE)
KEYS = {
    "RSA": rsa.generate_private_key(65537, 2048),
    "P-256": ec.generate_private_key(ec.SECP256R1()),
    "P-384": ec.generate_private_key(ec.SECP384R1()),
}


@pytest.fixture(scope="module")
def paper(signed: SqliteStore) -> bytes:
    return typeset_sheet(list_sheet(Heads(signed), "acorn-1a", "newts"))


def signed_by(pdf: bytes, file: bytes) -> bytes:
    return open_certificate(file, PASSPHRASE, now=NOW).sign(pdf)


def validated(pdf: bytes, root: Issued = ROOT) -> PdfSignatureStatus:
    """What pyHanko's validation, which knows only that root, says of the one signature."""
    (embedded,) = PdfFileReader(io.BytesIO(pdf)).embedded_signatures
    trusted = ValidationContext(trust_roots=[x509.Certificate.load(root.der())])
    return validate_pdf_signature(embedded, trusted)


@pytest.mark.parametrize("kind", KEYS)
def test_it_is_valid_to_whoever_trusts_the_root(paper: bytes, kind: str) -> None:
    own = issue(OFFICE, LEAGUE, KEYS[kind])
    status = validated(signed_by(paper, as_pkcs12(own, OFFICE)))
    assert status.bottom_line
    assert status.coverage == SignatureCoverageLevel.ENTIRE_FILE
    assert status.signing_cert.subject.native["common_name"] == LEAGUE


def test_it_is_a_pades_signature(paper: bytes) -> None:
    """ETSI EN 319 142-1 (from memory): the subfilter, and the signing certificate's digest among
    the signed attributes (baseline B)."""
    (embedded,) = PdfFileReader(io.BytesIO(signed_by(paper, FILE))).embedded_signatures
    assert embedded.sig_object["/SubFilter"] == "/ETSI.CAdES.detached"
    signed = {attribute["type"].native for attribute in embedded.signer_info["signed_attrs"]}
    assert {"content_type", "message_digest", "signing_certificate_v2"} <= signed
    assert "signing_time" not in signed  # PAdES keeps the time in the PDF's own entry, /M
    assert "/M" in embedded.sig_object


def test_it_is_not_valid_to_others_nor_when_changed(paper: bytes) -> None:
    pdf = signed_by(paper, FILE)
    assert not validated(pdf, make_root()).trusted
    comment = pdf.index(b"%", 1)  # of the second line; no reader heeds it
    changed = pdf[: comment + 1] + b"\xff" + pdf[comment + 2 :]
    assert not validated(changed).intact
    assert not validated(changed).bottom_line


def test_the_papers_own_bytes_and_files_stay(paper: bytes, tmp_path: Path) -> None:
    """`audit --since` reads the checkpoint of a signed paper as that of the same paper unsigned."""
    plain, signed = tmp_path / "plain.pdf", tmp_path / "signed.pdf"
    plain.write_bytes(paper)
    signed.write_bytes(signed_by(paper, FILE))
    assert signed.read_bytes().startswith(paper)
    assert [one.checkpoint for one in read_kept(signed)] == [
        one.checkpoint for one in read_kept(plain)
    ]


def test_nothing_of_it_is_seen(paper: bytes) -> None:
    def drawn(pdf: bytes) -> list[bytes]:
        with pypdfium2.PdfDocument(pdf) as document:
            return [page.render(may_draw_forms=True).to_pil().tobytes() for page in document]

    assert drawn(signed_by(paper, FILE)) == drawn(paper)


def test_it_still_keeps_the_rules_of_pdf(paper: bytes, tmp_path: Path) -> None:
    """Rules of ISO 19005-3 and ISO 14289-1 as the veraPDF profiles @6f2a87f number them."""
    path = tmp_path / "signed.pdf"
    path.write_bytes(signed_by(paper, FILE))
    assert pdf_problems(path) == ["a paper has no form fields"]
    with pikepdf.open(path) as pdf:
        (field,) = pdf.Root.AcroForm.Fields
        assert Name.NeedAppearances not in pdf.Root.AcroForm  # A 6.4.1-3
        assert (field.FT, field.Subtype) == (Name.Sig, Name.Widget)
        assert int(field.F) & 0b100100111 == 0b100  # A 6.3.2-2: printed, and in no way hidden
        left, bottom, right, top = (float(number) for number in field.Rect)
        assert (right - left, top - bottom) == (0, 0)  # A 6.3.3-1: so it needs no appearance
        assert max(right, top) < 0  # UA 7.18.4-1: outside the page, so it needs no tag
        assert str(field.TU) == "Signature with the league's certificate"  # UA 7.18.1-3
        assert not {Name.A, Name.AA} & set(field.keys())  # A 6.4.1-1


@pytest.mark.parametrize(
    "data",
    [b"", b"text", as_pem(OWN), OWN.der(), FILE[:-1], FILE + b"\0"],
    ids=["empty", "text", "PEM", "certificate", "cut", "longer"],
)
def test_what_is_no_pkcs12(data: bytes) -> None:
    with pytest.raises(InputError, match="is not PKCS #12") as told:
        open_certificate(data, PASSPHRASE, now=NOW)
    assert "one PKCS #12 file" in told.value.hint


def test_a_wrong_passphrase() -> None:
    for wrong in ("", PASSPHRASE.upper(), f"{PASSPHRASE} "):
        with pytest.raises(InputError, match="does not open with this passphrase"):
            open_certificate(FILE, wrong, now=NOW)


def test_a_certificate_without_a_name_goes_by_its_number(paper: bytes) -> None:
    own = issue(OFFICE, "")
    certificate = open_certificate(as_pkcs12(own, OFFICE), PASSPHRASE, now=NOW)
    assert certificate.name == f"number {own.certificate.serial_number:x}"
    assert validated(certificate.sign(paper)).bottom_line


def test_a_file_without_a_passphrase() -> None:
    file = as_pkcs12(OWN, OFFICE, passphrase="")
    assert open_certificate(file, "", now=NOW).name == LEAGUE


UNFIT = {
    "is valid from": issue(OFFICE, LEAGUE, valid=(NOW - timedelta(days=9), NOW - timedelta(1))),
    "is valid from .* only": issue(OFFICE, LEAGUE, valid=(NOW + timedelta(1), NOW + timedelta(9))),
    "is not for signing": issue(OFFICE, LEAGUE, for_signing=False),
    "PDF readers do not know": issue(OFFICE, LEAGUE, ed25519.Ed25519PrivateKey.generate()),
}


@pytest.mark.parametrize("told", UNFIT)
def test_a_certificate_that_cannot_sign(told: str) -> None:
    with pytest.raises(InputError, match=told) as error:
        open_certificate(as_pkcs12(UNFIT[told]), PASSPHRASE, now=NOW)
    assert error.value.hint


@settings(max_examples=60, deadline=None)
@given(at=st.integers(0, len(FILE) - 1), bit=st.integers(0, 7))
def test_a_spoilt_file_is_an_error_of_the_house(at: int, bit: int) -> None:
    spoilt = FILE[:at] + bytes([FILE[at] ^ 1 << bit]) + FILE[at + 1 :]
    try:
        name = open_certificate(spoilt, PASSPHRASE, now=NOW).name
    except LedgerError:
        return
    assert name == LEAGUE  # a label outside what the passphrase protects


def test_without_pyhanko(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pyhanko.sign", None)
    with pytest.raises(ReportError, match="needs pyHanko, which is not installed") as told:
        require_pkcs12(FILE)
    assert "pip install 'weighbook[pades]'" in told.value.hint
