"""The league's authority and its leaf: their fields, what they vouch for, their files, the server.

Held to RFC 5280 by the verifiers of `cryptography` and of OpenSSL, which we did not write.
"""

from __future__ import annotations

import socket
import ssl
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from pathlib import Path

import pytest
from click.testing import CliRunner
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError

from ledger.commands import weighbook
from ledger.errors import InputError, ReportError, StoreError
from ledger.field.guard import Place
from ledger.field.hotspot import addresses, door
from ledger.field.hotspot.certificates import Signer, make_authority, make_leaf, name_of
from ledger.field.hotspot.door import hotspot_door
from ledger.field.hotspot.files import (
    certificate_path,
    keep_leaf,
    key_path,
    leaf_path,
    read_authority,
    write_authority,
)
from tests.field.desk import make_ledger
from tests.field.running import served_at
from tests.field.served import served

NOW = datetime(2026, 9, 4, 18, tzinfo=UTC)
NAME = "scale.local"
OURS = ("192.168.43.7", "10.1.2.3")


@pytest.fixture(scope="module")
def authority() -> Signer:
    return make_authority("Acorn League", NAME, NOW)


def test_an_authority_has_the_fields_of_rfc_5280(authority: Signer) -> None:
    """Sections 4.2.1.9, 4.2.1.3, 4.2.1.10: each critical."""
    found = {one.oid: one for one in authority.certificate.extensions}
    basic = found[x509.BasicConstraints.oid]
    usage = found[x509.KeyUsage.oid]
    names = found[x509.NameConstraints.oid]
    assert all(one.critical for one in (basic, usage, names))
    assert (basic.value.ca, basic.value.path_length) == (True, 0)
    assert usage.value.key_cert_sign
    assert not usage.value.digital_signature
    permitted = [str(one.value) for one in names.value.permitted_subtrees]
    assert permitted == [NAME, "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16"]
    assert authority.certificate.version is x509.Version.v3
    assert isinstance(authority.key.curve, ec.SECP256R1)


def test_a_leaf_has_the_fields_of_rfc_5280(authority: Signer) -> None:
    leaf = make_leaf(authority, OURS, NOW).certificate
    found = {one.oid: one.value for one in leaf.extensions}
    assert not found[x509.BasicConstraints.oid].ca
    assert list(found[x509.ExtendedKeyUsage.oid]) == [x509.ExtendedKeyUsageOID.SERVER_AUTH]
    names = found[x509.SubjectAlternativeName.oid]
    assert names.get_values_for_type(x509.DNSName) == [NAME]
    assert {str(one) for one in names.get_values_for_type(x509.IPAddress)} == {*OURS}
    assert leaf.not_valid_after_utc - leaf.not_valid_before_utc < timedelta(days=398)
    assert leaf.issuer == authority.certificate.subject


def test_a_long_name_of_a_league_is_cut() -> None:
    made = make_authority("Ÿ" * 200, NAME, NOW).certificate
    assert len(made.subject.rfc4514_string()) < 80


def vouches(authority: Signer, leaf: x509.Certificate, name: str, when: datetime = NOW) -> bool:
    """Whether the verifier of `cryptography` takes the leaf for this name or address."""
    try:
        subject: x509.GeneralName = x509.IPAddress(ip_address(name))
    except ValueError:
        subject = x509.DNSName(name)
    policy = PolicyBuilder().store(Store([authority.certificate])).time(when)
    try:
        policy.build_server_verifier(subject).verify(leaf, [])  # type: ignore[arg-type]
    except VerificationError:
        return False
    return True


def forged(authority: Signer, *names: str) -> Signer:
    """A leaf for any names, by somebody who has the authority's key."""
    own = make_leaf(authority, (), NOW).certificate
    key = ec.generate_private_key(ec.SECP256R1())
    builder = (
        x509.CertificateBuilder()
        .subject_name(own.subject)
        .issuer_name(own.issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(own.not_valid_before_utc)
        .not_valid_after(own.not_valid_after_utc)
    )
    said: list[x509.GeneralName] = []
    for name in names:
        try:
            said.append(x509.IPAddress(ip_address(name)))
        except ValueError:
            said.append(x509.DNSName(name))
    for one in own.extensions:
        value = one.value
        if isinstance(value, x509.SubjectAlternativeName):
            value = x509.SubjectAlternativeName(said)
        builder = builder.add_extension(value, critical=one.critical)
    return Signer(builder.sign(authority.key, hashes.SHA256()), key)


@pytest.mark.parametrize(
    ("name", "is_vouched_for"),
    [
        (NAME, True),
        ("10.200.1.1", True),
        ("172.16.0.1", True),
        ("172.20.10.2", True),
        ("192.168.1.1", True),
        ("169.254.10.10", True),
        ("other.local", False),
        ("league.example", False),
        ("8.8.8.8", False),
        ("172.32.0.1", False),
        ("127.0.0.1", False),
        ("fd00::1", False),
    ],
)
def test_an_authority_vouches_for_private_places_only(
    authority: Signer, name: str, is_vouched_for: bool
) -> None:
    """RFC 5280, section 4.2.1.10; even for whoever has its key."""
    assert vouches(authority, forged(authority, name).certificate, name) is is_vouched_for


def test_one_public_name_spoils_a_leaf(authority: Signer) -> None:
    leaf = forged(authority, NAME, "league.example").certificate
    assert not vouches(authority, leaf, NAME)


def test_a_leaf_makes_no_leaf(authority: Signer) -> None:
    leaf = make_leaf(authority, OURS, NOW)
    second = make_leaf(Signer(authority.certificate, leaf.key), OURS, NOW).certificate
    assert not vouches(authority, second, NAME)


def test_a_leaf_ends(authority: Signer) -> None:
    leaf = make_leaf(authority, OURS, NOW).certificate
    assert vouches(authority, leaf, OURS[0], NOW + timedelta(days=89))
    assert not vouches(authority, leaf, OURS[0], NOW + timedelta(days=91))


@pytest.fixture
def ledger(tmp_path: Path) -> Path:
    return make_ledger(tmp_path)


def test_the_files_are_for_their_owner(ledger: Path) -> None:
    write_authority(ledger, NOW)
    keep_leaf(ledger, read_authority(ledger, NOW), OURS, NOW)
    for path in (certificate_path(ledger), key_path(ledger), leaf_path(ledger)):
        assert path.parent == ledger.parent
        assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_an_authority_is_never_written_over(ledger: Path) -> None:
    write_authority(ledger, NOW)
    before = certificate_path(ledger).read_bytes(), key_path(ledger).read_bytes()
    with pytest.raises(ReportError, match="already exists and is unchanged"):
        write_authority(ledger, NOW)
    certificate_path(ledger).unlink()
    with pytest.raises(ReportError, match="already exists and is unchanged"):
        write_authority(ledger, NOW)
    assert key_path(ledger).read_bytes() == before[1]
    assert not certificate_path(ledger).exists()


def test_an_authority_that_cannot_be_used_says_what_to_do(ledger: Path) -> None:
    with pytest.raises(StoreError) as caught:
        read_authority(ledger, NOW)
    assert "--make-ca" in caught.value.hint
    write_authority(ledger, NOW)
    with pytest.raises(StoreError, match="ran out on 2031-09-03"):
        read_authority(ledger, NOW + timedelta(days=5 * 365))
    other = make_authority("", NAME, NOW)
    certificate_path(ledger).write_bytes(other.certificate.public_bytes(Encoding.PEM))
    with pytest.raises(StoreError, match="cannot be used"):
        read_authority(ledger, NOW)


@pytest.mark.parametrize(
    ("days", "places", "is_new"),
    [
        (0, OURS, False),
        (59, OURS, False),
        (61, OURS, True),
        (0, OURS[:1], False),
        (0, (*OURS, "192.168.1.9"), True),
        (-3, OURS, True),
    ],
    ids=["same day", "31 days left", "29 days left", "fewer", "another address", "clock back"],
)
def test_a_leaf_is_renewed_by_itself(
    ledger: Path, days: int, places: tuple[str, ...], is_new: bool
) -> None:
    write_authority(ledger, NOW)
    authority = read_authority(ledger, NOW)
    before = keep_leaf(ledger, authority, OURS, NOW).read_bytes()
    after = keep_leaf(ledger, authority, places, NOW + timedelta(days=days)).read_bytes()
    assert (after != before) is is_new


def test_a_damaged_leaf_and_one_of_another_authority_are_renewed(ledger: Path) -> None:
    write_authority(ledger, NOW)
    authority = read_authority(ledger, NOW)
    before = keep_leaf(ledger, authority, OURS, NOW).read_bytes()
    leaf_path(ledger).write_bytes(before[:300])
    assert keep_leaf(ledger, authority, OURS, NOW).read_bytes()[300:]
    other = make_authority("", NAME, NOW)
    written = leaf_path(ledger).read_bytes()
    assert keep_leaf(ledger, other, OURS, NOW).read_bytes() != written


def test_a_leaf_ends_with_its_authority_and_is_not_renewed_for_it(ledger: Path) -> None:
    write_authority(ledger, NOW)
    authority = read_authority(ledger, NOW)
    late = authority.until - timedelta(days=5)
    before = keep_leaf(ledger, authority, OURS, late).read_bytes()
    assert keep_leaf(ledger, authority, OURS, late + timedelta(days=1)).read_bytes() == before


@pytest.mark.parametrize("host", ["0.0.0.0", "192.0.2.7", "::1", "example.org"])
def test_a_hotspot_is_at_private_addresses(ledger: Path, host: str) -> None:
    write_authority(ledger, NOW)
    with pytest.raises(InputError, match="private addresses only"), hotspot_door(ledger, host, 0):
        pass


def test_without_a_private_address_it_says_to_join_one(
    ledger: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(door, "own_addresses", list)
    write_authority(ledger, NOW)
    with pytest.raises(InputError) as caught, hotspot_door(ledger, None, 0):
        pass
    assert "Join the hotspot" in caught.value.hint


@pytest.mark.parametrize(
    ("called", "name"),
    [("Kites-Laptop.fritz.box", "kites-laptop.local"), ("Ana's PC", "ana-s-pc.local"),
     ("localhost", "weighbook.local"), ("", "weighbook.local"), ("x" * 80, "x" * 63 + ".local")],
)  # fmt: skip
def test_the_name_is_the_computers_own(
    called: str, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(socket, "gethostname", lambda: called)
    assert addresses.own_name() == name


def test_own_addresses_are_private() -> None:
    assert all(ip_address(one).is_private for one in addresses.own_addresses())
    assert "127.0.0.1" not in addresses.own_addresses()


@contextmanager
def connected(ledger: Path, port: int) -> Iterator[ssl.SSLSocket]:
    """As a phone that installed the certificate; OpenSSL checks the constraints too."""
    trusting = ssl.create_default_context(cafile=certificate_path(ledger))
    name = name_of(x509.load_pem_x509_certificate(certificate_path(ledger).read_bytes()))
    with (
        socket.create_connection(("127.0.0.1", port)) as plain,
        trusting.wrap_socket(plain, server_hostname=name) as secure,
    ):
        yield secure


def test_the_page_comes_by_tls_under_its_name_only(
    ledger: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    write_authority(ledger, datetime.now(UTC))
    with hotspot_door(ledger, "127.0.0.1", 0) as found, served_at(ledger, found) as server:
        (address,) = found.addresses
        name, port = address.removeprefix("https://").split(":")
        with connected(ledger, int(port)) as phone:
            phone.sendall(f"GET /api/me HTTP/1.0\r\nHost: {name}:{port}\r\n\r\n".encode())
            answer = b"".join(iter(lambda: phone.recv(65536), b"")).decode()
        assert '"mode":"hotspot"' in answer
        assert "__Host-weighbook=" in answer
        assert "secure" in answer.lower()
        assert "strict-transport-security" not in answer.lower()
        with connected(ledger, int(port)) as phone:
            phone.sendall(f"GET /api/me HTTP/1.0\r\nHost: 127.0.0.1:{port}\r\n\r\n".encode())
            assert b" 421 " in phone.recv(65536)
        with socket.create_connection(("127.0.0.1", int(port))) as plain:
            plain.sendall(b"GET / HTTP/1.0\r\n\r\n")
            assert b"weighbook" not in plain.recv(65536)
        assert server.desk.setting.place.mode == "hotspot"
    assert capfd.readouterr().err == ""


def test_in_a_hotspot_no_header_says_who_asks(ledger: Path) -> None:
    """There is no proxy: tries of a passphrase are counted by the address of the connection."""
    origin = f"https://{NAME}:8000"
    with served(ledger, Place.in_hotspot([origin])) as server:
        browser = server.browser(origin=origin)
        wrong = {"official": "wa", "passphrase": "other words"}
        for number in range(5):
            said = f"198.51.100.{number}"
            assert browser.post("/api/sign-in", wrong, x_forwarded_for=said).status == 422
        assert browser.post("/api/sign-in", wrong, x_forwarded_for="198.51.100.9").status == 429


def test_the_command_says_who_installs_it_and_who_does_not(ledger: Path) -> None:
    ran = CliRunner().invoke(weighbook, ["serve", "--make-ca", "--store", str(ledger)])
    assert ran.exit_code == 0, ran.output
    words = " ".join(ran.output.split())
    assert str(certificate_path(ledger)) in words
    assert "Install it at home, once" in words
    assert "It cannot vouch for any site on the internet" in words
    assert "a phone first seen at 8:25 never installs a certificate" in words
    both = CliRunner().invoke(weighbook, ["serve", "--make-ca", "--hotspot"])
    assert "Use one of" in both.output
