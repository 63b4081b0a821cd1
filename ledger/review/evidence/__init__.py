"""Evidence bundles: a case's statements and their proof, for an opponent who trusts nobody."""
