"""`python -m ledger.commands` is `weighbook`."""

from ledger.commands import main

main()
