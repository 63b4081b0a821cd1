"""Words: the only room where sentences are made."""
