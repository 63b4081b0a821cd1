"""What people can do with a ledger, each thing once: a function on a `Store`.

An action returns a frozen result, or raises an error with data and leaves the ledger as it was.
What it has to ask first (`ledger.actions.asking`) is such an error too. Nothing here prints, reads
from a terminal or knows HTTP: a front end parses, calls and shows.
"""
