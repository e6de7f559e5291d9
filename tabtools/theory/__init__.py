"""Pitch names, keys, scales, chords, intervals and note values: tables and exact functions, no files."""
