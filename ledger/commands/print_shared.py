"""What all paper commands share: where the PDF goes, the certificate, and writing."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.passphrase import ask_passphrase
from ledger.commands.shared import FILE, NEW_FILE, Command
from ledger.errors import InputError

if TYPE_CHECKING:
    from ledger.papers.press.pades import LeagueCertificate
    from ledger.papers.press.sheet import Sheet


def _keep(ctx: click.Context, option: click.Parameter, value: Path | None) -> None:
    """Keep the value in click's context, so no command has to pass it on."""
    ctx.meta[f"{__name__}.{option.name}"] = value


def sign_options(command: Command) -> Command:
    """--sign-with and --passphrase-file; `asked_certificate` reads them."""
    for name, text in (
        ("--passphrase-file", "Read the certificate's passphrase from this file's first line."),
        ("--sign-with", "Sign the PDF with this league certificate (PKCS #12)."),
    ):
        option = click.option(name, type=FILE, expose_value=False, callback=_keep, help=text)
        command = option(command)
    return command


def to_option(command: Command) -> Command:
    """--to, and the options of `sign_options`."""
    option = click.option("--to", required=True, type=NEW_FILE, help="The PDF file to write.")
    return option(sign_options(command))


def asked_certificate() -> LeagueCertificate | None:
    """Open the certificate that --sign-with names; None if there is none."""
    asked = click.get_current_context().meta
    certificate: Path | None = asked[f"{__name__}.sign_with"]
    passphrase_file: Path | None = asked[f"{__name__}.passphrase_file"]
    if certificate is None:
        if passphrase_file is not None:
            hint = "Add --sign-with and the certificate."
            raise InputError("--passphrase-file without --sign-with", hint=hint)
        return None
    from datetime import UTC, datetime

    from ledger.papers.press.pades import open_certificate, require_pkcs12

    data = certificate.read_bytes()
    require_pkcs12(data)
    passphrase = ask_passphrase(f"Passphrase for {certificate}", passphrase_file)
    return open_certificate(data, passphrase, now=datetime.now(UTC))


def write(sheet: Sheet, to: Path) -> None:
    """Make the paper, sign it if asked, and say where it is."""
    certificate = asked_certificate()
    from ledger.outputs import PDF, check_place, is_standard_output, write_output
    from ledger.papers.press.render import typeset_sheet

    check_place(to, PDF)
    content = typeset_sheet(sheet)
    write_output(certificate.sign(content) if certificate else content, to, PDF)
    click.echo(f"Wrote {to}{signed_with(certificate)}.", err=is_standard_output(to))


def signed_with(certificate: LeagueCertificate | None) -> str:
    """Return what to add about the certificate after "Wrote …"; "" without one."""
    return f", signed with the certificate of {certificate.name}" if certificate else ""
