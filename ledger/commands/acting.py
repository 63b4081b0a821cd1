"""Acts that need a role: who acts signs with a key, where there is one."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.commands.passphrase import ask_passphrase

if TYPE_CHECKING:
    from ledger.store.store import Store
    from ledger.witness.acts import KeySigner


def signer_of(store: Store, by: str, passphrase_file: Path | None) -> KeySigner | None:
    """The key of `by`, its passphrase asked for; None where there is no key in force."""
    from ledger.witness.acts import KeySigner
    from ledger.witness.officials import key_of, unlock

    if key_of(store, by) is None:
        return None
    secret = ask_passphrase(f"Passphrase of {by}", passphrase_file)
    return KeySigner(*unlock(store, by, secret))


def echo_signed(store: Store, event_id: str) -> None:
    """Say whether the act that was just recorded is signed."""
    event = next(iter(store.events_by_id([event_id]))).event
    if event.data.get("how") == "key":
        click.echo(f"Signed with the key of {event.by}.")
    else:
        told = f"Not signed: {event.by} had no key yet. It shows only that somebody typed --by"
        click.echo(f"{told} {event.by}.")
