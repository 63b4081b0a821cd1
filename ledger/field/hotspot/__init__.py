"""Serving phones in a hotspot over TLS: a certificate authority of the league, and its leaf."""
