"""A ledger in a file of SQLite: the only place that speaks SQL to where a ledger is kept."""
