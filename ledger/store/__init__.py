"""Rows and transactions: a SQLite file by default. Append and read; nothing is changed."""
