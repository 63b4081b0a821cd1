"""Turn events into answers: typed events into DuckDB, then the queries of `sql/`."""
