"""What people can do with a ledger: a function on a `Store` for each action.

An action returns a frozen result, or raises an error with data and leaves the ledger unchanged.
A question (`ledger.actions.asking`) is such an error too. Nothing here prints, reads from a
terminal or knows HTTP: a front end parses, calls and shows.
"""
