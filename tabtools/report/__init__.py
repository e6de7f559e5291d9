"""Findings and forms as text and as machine formats, one format a file."""
