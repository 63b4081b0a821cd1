"""Questions put to review: where they go, where they stand, and who has a word."""
