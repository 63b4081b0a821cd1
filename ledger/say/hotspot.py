"""What a hotspot's certificate is for, in words: who installs it, where, and when not."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from ledger.say.lines import paragraph

IN_HOTSPOT = (
    "For phones in this hotspot that installed the league's certificate at home.\n"
    "Without it, install nothing now: share a device, use the league's server, or paper."
)


def authority_made(
    name: str, until: str, fingerprint: str, certificate: Path, key: Path
) -> Iterator[str]:
    """What to do with the two files. Where phones hide the setting: common practice, no source."""
    yield "Made the league's certificate authority."
    yield f"  For phones: {certificate}"
    yield f"  Its key, for nobody: {key}"
    yield ""
    yield paragraph(
        "It vouches for private addresses, such as 192.168.43.7, and for the name "
        f"{name}. It cannot vouch for any site on the internet. It lasts until {until}. Keep a "
        "copy of both files with the ledger."
    )
    yield ""
    yield "Install it at home, once, on each phone that will weigh:"
    yield paragraph(
        "1. Send the .crt file to the phone, by cable or by mail, and open it.", **_STEP
    )
    yield paragraph(
        "2. iPhone: Settings, General, VPN & Device Management, install. Then General, About, "
        "Certificate Trust Settings: switch it on.",
        **_STEP,
    )
    yield paragraph(
        "   Android: search the settings for CA certificate, then install. Use Chrome.", **_STEP
    )
    yield paragraph(
        f"3. If the phone shows a SHA-256 fingerprint, compare it: {fingerprint}", **_STEP
    )
    yield paragraph(
        "4. Start weighbook serve --hotspot and open its address: no warning may appear. Sign in, "
        "and take Saturday along.",
        **_STEP,
    )
    yield paragraph("If you weigh on this computer too, install it here in the same way.")
    yield ""
    yield paragraph(
        "Not at the field: a phone first seen at 8:25 never installs a certificate. It shares a "
        "device that is there, uses the league's server, or paper."
    )


_STEP = {"hang": 3}
