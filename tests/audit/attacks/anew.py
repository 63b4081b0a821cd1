"""Rewritten events: every hash and link is right, and what chains say about each other fits."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import orjson

from ledger.audit.rows import RawEvent
from ledger.chain.canonical import canonical
from ledger.chain.hashing import leaf_hash
from ledger.chain.merkle import root
from tests.audit.attacks.attack import Hand
from tests.audit.attacks.rows import all_rows

Body = dict[str, Any]
Edit = Callable[[RawEvent, Body, bool], bool]
"""May change a row's body; returns whether it did. The last argument says whether the event differs
already because it follows a changed one."""
CHAINS = ("office", "tent")


def write_anew(
    hand: Hand, edit: Edit, *, fits_others: bool = True
) -> tuple[dict[str, list[bytes]], dict[str, int]]:
    """The hashes by chain, and the number of the first event in each chain that is another one.

    A countersignature names the roots of the other chains. If one of these changes, the
    countersignature changes too, unless the attacker overlooks that.
    """
    hashes: dict[str, list[bytes]] = {chain: [] for chain in CHAINS}
    begun: dict[str, int] = {}
    rows = sorted((row for chain in CHAINS for row in hand.rows(chain)), key=lambda r: r.position)
    for row in rows:
        own, body = hashes[row.chain], orjson.loads(row.body)
        is_another = (fits_others and _fit_others(body, hashes)) or row.chain in begun
        if not edit(row, body, is_another) and not is_another:
            own.append(row.hash)
            continue
        begun.setdefault(row.chain, row.seq)
        body["prev"] = (own[-1] if own else bytes(32)).hex()
        data = canonical(body)
        own.append(leaf_hash(data))
        hand.run(
            "update event set prev = ?, hash = ?, body = ?, kind = ?, player = ?, recorded = ? "
            "where position = ?",
            bytes.fromhex(body["prev"]), own[-1], data.decode(), body["kind"], body.get("player"),
            body["recorded"], row.position,
        )  # fmt: skip
    return hashes, begun


def _fit_others(body: Body, hashes: Mapping[str, list[bytes]]) -> bool:
    """Make what it says about other chains fit; return whether that changed it."""
    was = {chain: dict(state) for chain, state in body["data"].get("others", {}).items()}
    for chain, state in body["data"].get("others", {}).items():
        state["root"] = root(hashes[chain][: state["size"]]).hex()
    return bool(was != body["data"].get("others", {}))


def reached(chain: str, seq: int) -> dict[str, int]:
    """Return, by chain, the first event that must change with this one because it names it."""
    begun: dict[str, int] = {}
    for row in all_rows():
        others = orjson.loads(row.body)["data"].get("others", {})
        names = any(state["size"] >= begun.get(other, 1 << 40) for other, state in others.items())
        if (row.chain, row.seq) == (chain, seq) or names:
            begun.setdefault(row.chain, row.seq)
    return begun
