"""Opponents as witnesses: officials' keys, countersignatures, and proofs that need no ledger."""
