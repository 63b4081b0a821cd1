"""Pure: canonical bytes, hashes, Merkle tree, checkpoints, keys, disclosures."""
