"""Words from files and file names, made harmless: nothing in them is obeyed by a terminal or a log reader."""

from __future__ import annotations

# Control characters but for the line end and the tab character, and what turns the direction of writing.
_OBEYED = (*range(0x09), *range(0x0B, 0x20), *range(0x7F, 0xA0), *range(0x200E, 0x2010), 0x2028, 0x2029)
_TURNS = (*range(0x202A, 0x202F), *range(0x2066, 0x206A))
_ESCAPES = {code: f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" for code in (*_OBEYED, *_TURNS)}
_IN_ONE_LINE = {**_ESCAPES, ord("\n"): "\\n"}


def harmless(text: str) -> str:
    """The text with an escape as in Python for every character that a terminal would obey; line ends and tab
    characters stay. A carriage return before a line end goes."""
    if text.isprintable():
        return text
    return text.replace("\r\n", "\n").translate(_ESCAPES)


def one_line(text: str) -> str:
    """The text as one line: with escapes for line ends too."""
    return text if text.isprintable() else text.translate(_IN_ONE_LINE)
