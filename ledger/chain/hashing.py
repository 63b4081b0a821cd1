"""The two hashes of RFC 9162 section 2.1.1, shared by the chain and the tree.

The next event names the leaf hash of an event's canonical bytes as its `prev`. The prefixes 0x00
and 0x01 keep a leaf from passing as a node.

>>> leaf_hash(b"").hex()
'6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d'
"""

from __future__ import annotations

from hashlib import sha256

HASH_BYTES = 32
BEGINNING = bytes(HASH_BYTES)
"""The `prev` of a chain's first event."""


def leaf_hash(data: bytes) -> bytes:
    """Return SHA-256(0x00 || data), 32 bytes."""
    return sha256(b"\x00" + data).digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    """Return SHA-256(0x01 || left || right), 32 bytes."""
    return sha256(b"\x01" + left + right).digest()
