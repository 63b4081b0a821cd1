"""Evidence bundles: a case's statements and their proof, which anyone can check."""
