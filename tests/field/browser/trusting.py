"""A Chromium that trusts an authority, as a phone does after it was installed.

On Linux it reads NSS's database in its HOME. The library comes with Chromium, so it is called
directly; `certutil -A -t C,,` would do the same, and is a package more to install.
"""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding
from playwright.sync_api import Browser, Playwright

from tests.field.browser.chromium import executable, options

_VALID_CA, _TRUSTED_CA = 1 << 3, 1 << 4  # CERTDB_… of certdb.h


class _Item(ctypes.Structure):
    _fields_ = (("kind", ctypes.c_int), ("data", ctypes.c_char_p), ("size", ctypes.c_uint))


class _Trust(ctypes.Structure):
    _fields_ = (("ssl", ctypes.c_uint), ("email", ctypes.c_uint), ("object", ctypes.c_uint))


def trust(home: Path, certificate: Path) -> Path:
    """Make a home in which this authority is trusted for servers."""
    if sys.platform != "linux":
        pytest.skip("Chromium asks the system here, which a test must not change")
    place = home / ".pki" / "nssdb"
    place.mkdir(parents=True)
    made = x509.load_pem_x509_certificate(certificate.read_bytes()).public_bytes(Encoding.DER)
    nss, pointer = ctypes.CDLL("libnss3.so"), ctypes.c_void_p
    for name in ("PK11_GetInternalKeySlot", "CERT_GetDefaultCertDB", "CERT_NewTempCertificate"):
        getattr(nss, name).restype = pointer
    assert nss.NSS_InitReadWrite(f"sql:{place}".encode()) == 0
    slot, base = pointer(nss.PK11_GetInternalKeySlot()), pointer(nss.CERT_GetDefaultCertDB())
    item = ctypes.byref(_Item(0, made, len(made)))
    known = pointer(nss.CERT_NewTempCertificate(base, item, None, 0, 1))
    how = ctypes.byref(_Trust(_VALID_CA | _TRUSTED_CA, 0, 0))
    done = (
        nss.PK11_InitPin(slot, None, b""),
        nss.PK11_ImportCert(slot, known, ctypes.c_ulong(0), b"weighbook", 0),
        nss.CERT_ChangeCertTrust(base, known, how),
    )
    assert done == (0, 0, 0)
    for release, one in ((nss.CERT_DestroyCertificate, known), (nss.PK11_FreeSlot, slot)):
        release(one)
    nss.NSS_Shutdown()
    return home


@contextmanager
def browser_at(playwright: Playwright, home: Path, *names: str) -> Iterator[Browser]:
    """Chromium with this home, to which these names are this computer's."""
    home.mkdir(exist_ok=True)
    rules = ", ".join(f"MAP {name} 127.0.0.1" for name in names)
    browser = playwright.chromium.launch(
        executable_path=executable(),
        args=[*options(), f"--host-resolver-rules={rules}"],
        env={**os.environ, "HOME": str(home)},
    )
    try:
        yield browser
    finally:
        browser.close()
