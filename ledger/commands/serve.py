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

    terminal = _Terminal(is_proxied=behind_proxy is not None)
    run(
        store,
        host=host,
        port=port,
        chain=chain,
        origin=behind_proxy,
        began=terminal.began,
        say=to_stderr,
        tell=terminal.tell,
    )
    to_stderr("Stopped. Everything that was answered is recorded.")


class _Terminal:
    """Says where the page is, and then the code; later, each new code."""

    def __init__(self, *, is_proxied: bool) -> None:
        self._is_proxied = is_proxied
        self._has_begun = False
        self._code = ""

    def began(self, address: str) -> None:
        reach = (
            "Phones reach it through the proxy." if self._is_proxied else "On this computer only."
        )
        click.echo(f"The page is at {address}")
        click.echo(f"{reach} Stop it with Ctrl-C.")
        self._has_begun = True
        self.tell(self._code)

    def tell(self, code: str) -> None:
        self._code = code
        if self._has_begun:
            click.echo(f"To confirm someone without a key, type this code on their screen: {code}")
