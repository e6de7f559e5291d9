"""How wide text is. Readers' fonts differ: these are the widths of a wide one, so that text has room."""

from __future__ import annotations

# Advance widths of DejaVu Sans for U+0020 to U+007E in hundredths of the font size (its hmtx table).
_ASCII = (
    "32 40 46 84 64 95 78 27 39 39 50 84 32 36 32 34 64 64 64 64 64 64 64 64 64 64 34 34 84 84 84 53 100 "
    "68 69 70 77 63 58 77 75 29 29 66 56 86 75 79 60 79 69 63 61 73 68 99 69 61 69 39 34 39 84 50 50 61 "
    "63 55 63 62 35 63 63 28 28 58 28 97 63 61 63 63 41 52 39 63 59 82 59 59 52 64 34 64 84"
)
_WIDTHS = {chr(32 + place): int(width) / 100 for place, width in enumerate(_ASCII.split())}
_LATIN = 0.7  # accented letters and most signs
_WIDE = 1.05  # East Asian letters, pictographs
_FIRST_WIDE = "\u1100"
_BOLD = 1.12


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """The width of a text in pixels for a font size in pixels: at least what a common font needs."""
    ems = sum(_WIDTHS.get(char) or (_WIDE if char >= _FIRST_WIDE else _LATIN) for char in text)
    return ems * size * (_BOLD if bold else 1)
