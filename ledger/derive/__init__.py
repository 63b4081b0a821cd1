"""Events to answers: typed events into DuckDB, then the queries of `sql/`."""
