"""Formats that only music21 reads, told by what their files begin with."""

from __future__ import annotations

import re

# What files of some formats begin with, for those that come without a name or under another suffix.
_SIGNS = (
    ("midi", re.compile(rb"MThd")),
    ("abc", re.compile(rb"(?:%[^\n]*\n|\s)*X:\s*\d+\s*\n")),
    ("humdrum", re.compile(rb"(?:![^\n]*\n|\s)*\*\*kern")),
    ("mei", re.compile(rb"\s*(?:<[?!][^>]*>\s*)*<mei[\s>]")),
)
BOM = b"\xef\xbb\xbf"
_HEAD = 4096


def format_by_content(data: bytes) -> str | None:
    """The format, as music21 calls it, that a file's first bytes show; None for any other."""
    head = data[:_HEAD].removeprefix(BOM)
    return next((name for name, sign in _SIGNS if sign.match(head)), None)
