"""Chains and their checkpoints: each chain has a key of its own, made when the chain begins.

The first event of a chain says which key that is (`chain_key`: origin and verifier key). The
private key stays in the ledger's file: anyone with the device can sign for it, so
officials cosign with keys of their own and take their copy home.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from ledger.chain.others import State, format_others
from ledger.errors import InputError, StoreError
from ledger.record.accepted import Accepted
from ledger.record.fields import ID_FORM, is_id
from ledger.store.store import Store, Writing
from ledger.store.trees import Trees

if TYPE_CHECKING:
    from ledger.chain.note import Note


def origin_of(league: Mapping[str, Any], chain: str) -> str:
    """What a chain's checkpoints call themselves: league, season and chain.

    >>> origin_of({"name": "Tall Grass League", "season": "2026"}, "office")
    'tall-grass-league/2026/office'
    """
    return f"{_plain(league['name'])}/{_plain(league['season'])}/{chain}"


def begin_chain(
    writing: Writing, chain: str, league: Mapping[str, Any], trees: Trees | None = None
) -> None:
    """Make the chain's key and its first event, unless the chain has begun.

    That event names the heads of all other chains: the chain begins after them.
    """
    if writing.store.head(chain).seq:
        return
    if not is_id(chain):
        raise InputError(f"--chain: found '{chain}'", hint=f"Enter {ID_FORM}.")
    from ledger.chain.keys import make_key
    from ledger.chain.note import VerifierKey, format_verifier_key

    origin, pair = origin_of(league, chain), make_key()
    key = format_verifier_key(VerifierKey(origin, pair.public))
    writing.keep_key(origin, pair.private)
    data: dict[str, Any] = {"origin": origin, "key": key}
    if others := heads(writing.store, trees, besides=chain):
        data["others"] = format_others(others)
    writing.append([Accepted("chain_key", data)], chain=chain)


def heads(store: Store, trees: Trees | None = None, *, besides: str) -> dict[str, State]:
    """Length and root of every other chain there is; trees hashed before the lock are continued."""
    trees = trees or Trees(store)
    trees.catch_up()
    return trees.others(besides)


def origin_in(store: Store, chain: str) -> str:
    """The origin that the chain's first event names."""
    for stored in store.events(kind=["chain_key"], chain=[chain]):
        return str(stored.event.data["origin"])
    if not store.head(chain).seq:
        hint = "weighbook status lists the chains. Is --chain the right name?"
        raise InputError(f"no chain {chain} in this ledger", hint=hint)
    raise StoreError(f"the chain {chain} has no key of its own", hint="Run weighbook audit.")


def sign_head(store: Store, chain: str, trees: Trees | None = None) -> Note:
    """The checkpoint of the chain as it stands, signed by the chain's own key; trees that
    were hashed before the lock are continued.

    The same ledger gives the same note: Ed25519 signatures are deterministic (RFC 8032).
    """
    from ledger.chain.checkpoint import Checkpoint, sign_checkpoint

    origin = origin_in(store, chain)
    private = store.key(origin)
    if private is None:
        hint = "This copy can be read and audited; only the device that wrote it can sign."
        raise StoreError(f"the key of the chain {chain} is not in this ledger", hint=hint)
    trees = trees or Trees(store)
    trees.catch_up()
    size, root = trees.state(chain)
    return sign_checkpoint(Checkpoint(origin, size, root), private)


def _plain(text: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", text.casefold()).strip("-") or "league"
