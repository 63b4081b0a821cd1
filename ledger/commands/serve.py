"""weighbook serve: the page for the scale table, in a browser."""

from __future__ import annotations

from pathlib import Path

import click

from ledger.commands.shared import OFFICE, chain_option, store_option, to_stderr

PORT, PRACTICE_PORT = 8000, 8090
"""A practice has another port, so that a browser keeps what it holds of the two apart."""
_NOT_IN_PRACTICE = {"store": "store", "chain": "chain", "behind_proxy": "behind-proxy",
                    "in_hotspot": "hotspot", "make_ca": "make-ca"}  # fmt: skip


@click.command(short_help="The page for the scale table, in a browser.")
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    show_default=f"{PORT}; {PRACTICE_PORT} for a practice",
    help="The port on this computer; 0: any that is free.",
)
@click.option(
    "--behind-proxy",
    metavar="ORIGIN",
    help="For a league's server: the https:// address of the proxy in front of it.",
)
@click.option(
    "--hotspot",
    "in_hotspot",
    is_flag=True,
    help="For phones in a hotspot: https:// on this computer's own private addresses.",
)
@click.option(
    "--make-ca",
    is_flag=True,
    help="Make the certificate that phones install at home, once, for --hotspot. Serves nothing.",
)
@click.option(
    "--host",
    metavar="ADDRESS",
    help="Where to listen: this computer only (127.0.0.1, ::1); with --hotspot, one of its "
    "private addresses.",
)
@click.option(
    "--practice",
    is_flag=True,
    help="Practice an invented morning. It opens no ledger of yours, and keeps nothing.",
)
@chain_option
@store_option
def serve(
    store: Path,
    chain: str,
    host: str | None,
    port: int | None,
    behind_proxy: str | None,
    in_hotspot: bool,
    make_ca: bool,
    practice: bool,
) -> None:
    """Serve the page for the scale table, until Ctrl-C. Open its address in a
    browser on this computer. Other commands work beside it.

    New at the scale? weighbook serve --practice plays a morning with you: one
    minute first, then ten.

    Example: weighbook serve --port 8000
    """
    from ledger.field.serving import serve as run

    if practice:
        _practice(host, PRACTICE_PORT if port is None else port)
        return
    if sum((behind_proxy is not None, in_hotspot, make_ca)) > 1:
        raise click.UsageError("Use one of --behind-proxy, --hotspot and --make-ca.")
    if make_ca:
        _make_ca(store)
        return
    terminal = _Terminal(in_hotspot=in_hotspot, is_proxied=behind_proxy is not None)
    run(
        store,
        host=host,
        port=PORT if port is None else port,
        chain=chain,
        origin=behind_proxy,
        in_hotspot=in_hotspot,
        began=terminal.began,
        say=to_stderr,
        tell=terminal.tell,
    )
    to_stderr("Stopped. Everything that was answered is recorded.")


def _make_ca(store: Path) -> None:
    from cryptography.hazmat.primitives.hashes import SHA256

    from ledger.field.hotspot.certificates import name_of, utc_now
    from ledger.field.hotspot.files import certificate_path, key_path, write_authority
    from ledger.say.hotspot import authority_made

    made = write_authority(store, utc_now())
    until, fingerprint = (
        f"{made.not_valid_after_utc:%Y-%m-%d}",
        made.fingerprint(SHA256()).hex(" ", 2),
    )
    for line in authority_made(
        name_of(made), until, fingerprint, certificate_path(store), key_path(store)
    ):
        click.echo(line)


def _practice(host: str | None, port: int) -> None:
    """Serve a practice. Options that name a ledger or a proxy do not fit: nothing real is there."""
    from ledger.actions.practicing import practicing
    from ledger.field.serving import serve as run

    here = click.get_current_context()
    for name, option in _NOT_IN_PRACTICE.items():
        if here.get_parameter_source(name) is click.core.ParameterSource.COMMANDLINE:
            raise click.UsageError(f"--practice has a ledger of its own: leave out --{option}.")

    def began(address: str) -> None:
        click.echo(f"The practice is at {address}")
        click.echo("Nothing there counts, and nothing is kept. Stop it with Ctrl-C.")

    with practicing() as practice:
        run(
            practice.ledger,
            host=host,
            port=port,
            chain=OFFICE,
            origin=None,
            practice=practice,
            began=began,
            say=to_stderr,
            tell=lambda code: None,
        )
    to_stderr("The practice is over, and its ledger is gone.")


class _Terminal:
    """Says where the page is, and then the code; later, each new code."""

    def __init__(self, *, in_hotspot: bool, is_proxied: bool) -> None:
        self._in_hotspot, self._is_proxied = in_hotspot, is_proxied
        self._has_begun = False
        self._code = ""

    def began(self, address: str) -> None:
        click.echo(f"The page is at {address}")
        click.echo(f"{self._reach()} Stop it with Ctrl-C.")
        click.echo("Somebody new? Let them try first, on any computer: weighbook serve --practice")
        self._has_begun = True
        self.tell(self._code)

    def _reach(self) -> str:
        if self._in_hotspot:
            from ledger.say.hotspot import IN_HOTSPOT

            return IN_HOTSPOT
        return (
            "Phones reach it through the proxy." if self._is_proxied else "On this computer only."
        )

    def tell(self, code: str) -> None:
        self._code = code
        if self._has_begun:
            click.echo(f"To confirm someone without a key, type this code on their screen: {code}")
