"""Words: all sentences about codes, statements and answers are made here."""
