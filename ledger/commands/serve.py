"""weighbook serve: the page for the scale table, in a browser."""

from __future__ import annotations

from pathlib import Path

import click

from ledger.commands.shared import chain_option, store_option, to_stderr

PORT = 8000


@click.command(short_help="The page for the scale table, in a browser.")
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=PORT,
    show_default=True,
    help="The port on this computer; 0: any that is free.",
)
@click.option(
    "--behind-proxy",
    metavar="ORIGIN",
    help="For a league's server: the https:// address of the proxy before it.",
)
@click.option(
    "--host",
    default="127.0.0.1",
    show_default=True,
    help="Where to listen: this computer only, because it is plain HTTP.",
)
@chain_option
@store_option
def serve(store: Path, chain: str, host: str, port: int, behind_proxy: str | None) -> None:
    """Serve the page for the scale table, until Ctrl-C. Open its address in a
    browser on this computer. Other commands work beside it.

    Example: weighbook serve --port 8000
    """
    from ledger.field.serving import serve as run

    run(
        store,
        host=host,
        port=port,
        chain=chain,
        origin=behind_proxy,
        began=lambda address: _say_began(address, is_proxied=behind_proxy is not None),
        say=to_stderr,
        tell=lambda code: click.echo(f"Code to confirm someone who signs in: {code}"),
    )
    to_stderr("Stopped. Everything that was answered is recorded.")


def _say_began(address: str, *, is_proxied: bool) -> None:
    works = (
        "Phones reach it through the proxy." if is_proxied else "It works on this computer only."
    )
    click.echo(f"The page is at {address}")
    click.echo(f"{works} Stop it with Ctrl-C.")
