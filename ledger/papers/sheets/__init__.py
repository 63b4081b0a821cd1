"""A module a document: from the ledger's answers to what a template is given."""
