"""Templates and answers become papers: tagged PDF/A-3, the same input giving the same bytes."""
