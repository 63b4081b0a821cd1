"""HTML to PDF: setting, codes, fonts, what is attached, signatures. It knows no football."""
