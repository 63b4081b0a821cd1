"""Questions for review: where each goes, how far it has come, and what its reviewers read."""
