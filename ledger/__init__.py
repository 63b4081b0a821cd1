"""weighbook: a season ledger with audit trail and dispute reports for weigh-ins."""
