"""Checks a ledger from its stored bytes, sharing only `chain` with the writer."""
