"""weighbook serve: the page for the scale table, in a browser."""

from __future__ import annotations

from pathlib import Path

import click

from ledger.commands.shared import chain_option, store_option

PORT = 8000


@click.command(short_help="The page for the scale table, in a browser.")
@click.option("--port", type=click.IntRange(0, 65535), default=PORT, show_default=True,
              help="Where on this computer; 0: any free port.")  # fmt: skip
@click.option("--behind-proxy", metavar="ORIGIN", help="The https:// address of a league's server.")
@chain_option
@store_option
def serve(store: Path, chain: str, port: int, behind_proxy: str | None) -> None:
    """Open the page for the scale table in a browser on this computer.

    Example: weighbook serve --port 8000
    """
    from ledger.field.serving import serve as run

    run(
        store,
        port=port,
        chain=chain,
        origin=behind_proxy,
        began=lambda address: click.echo(f"The page is at {address}\nStop with Ctrl-C."),
        tell=lambda code: click.echo(f"Code to confirm an official on this computer: {code}"),
    )
