"""Papers: their words, their look in text, and their PDF structure."""
