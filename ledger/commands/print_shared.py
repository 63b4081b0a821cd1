"""What every paper's command has: where the PDF goes, signing it with a certificate, writing it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from ledger.commands.passphrase import ask_passphrase
from ledger.commands.shared import wrong

if TYPE_CHECKING:
    from ledger.papers.press.pades import LeagueCertificate
    from ledger.papers.press.sheet import Sheet

Command = TypeVar("Command", bound=Callable[..., Any])


def _keep(ctx: click.Context, option: click.Parameter, value: Path | None) -> None:
    """In click's context, so that no command passes it on."""
    ctx.meta[f"{__name__}.{option.name}"] = value


def sign_options(command: Command) -> Command:
    """--sign-with and --passphrase-file; `asked_certificate` reads them."""
    command = click.option(
        "--passphrase-file",
        type=click.Path(path_type=Path, exists=True, dir_okay=False),
        expose_value=False,
        callback=_keep,
        help="Read the certificate's passphrase from a file's first line.",
    )(command)
    return click.option(
        "--sign-with",
        type=click.Path(path_type=Path, exists=True, dir_okay=False),
        expose_value=False,
        callback=_keep,
        help="The league's certificate (PKCS #12), to sign the PDF with.",
    )(command)


def to_option(command: Command) -> Command:
    """--to, and the options of `sign_options`."""
    return click.option(
        "--to",
        required=True,
        type=click.Path(path_type=Path, dir_okay=False),
        help="The PDF file to write.",
    )(sign_options(command))


def asked_certificate() -> LeagueCertificate | None:
    """The certificate that --sign-with names, opened with its passphrase; None without it."""
    asked = click.get_current_context().meta
    certificate: Path | None = asked[f"{__name__}.sign_with"]
    passphrase_file: Path | None = asked[f"{__name__}.passphrase_file"]
    if certificate is None:
        if passphrase_file is not None:
            raise wrong("--passphrase-file without --sign-with", "Name the certificate too.")
        return None
    from datetime import UTC, datetime

    from ledger.papers.press.pades import open_certificate, require_pkcs12

    data = certificate.read_bytes()
    require_pkcs12(data)
    passphrase = ask_passphrase(f"Passphrase of {certificate}", passphrase_file)
    return open_certificate(data, passphrase, now=datetime.now(UTC))


def write(sheet: Sheet, to: Path) -> None:
    """Make the paper, sign it if that was asked for, and say where it is."""
    certificate = asked_certificate()
    from ledger.outputs import PDF, check_place, is_standard_output, write_output
    from ledger.papers.press.render import typeset_sheet

    check_place(to, PDF)
    content = typeset_sheet(sheet)
    write_output(certificate.sign(content) if certificate else content, to, PDF)
    click.echo(f"Wrote {to}{signed_with(certificate)}.", err=is_standard_output(to))


def signed_with(certificate: LeagueCertificate | None) -> str:
    """What a command adds about it, after what it wrote."""
    return f", signed with the certificate of {certificate.name}" if certificate else ""
