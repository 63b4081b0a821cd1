"""Pure functions: canonical bytes, hashes, Merkle tree, checkpoints, keys, disclosures."""
