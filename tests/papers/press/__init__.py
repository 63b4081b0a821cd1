"""HTML to PDF."""
