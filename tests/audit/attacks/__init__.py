"""Attacks on a ledger's file, each with who should notice; and the table of what came out."""
