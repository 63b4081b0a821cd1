"""Attacks on a ledger's file, who should notice each, and the table of outcomes."""
