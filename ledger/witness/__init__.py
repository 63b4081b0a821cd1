"""Opponents as witnesses: officials' keys, countersignatures, proofs that need no trust in us."""
