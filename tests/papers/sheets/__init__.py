"""What the documents say."""
