"""The numbers on the strings of a tab staff."""

from __future__ import annotations

from tabtools.drawing.shapes import FONTS, Box, Shape, content, number, text_box
from tabtools.drawing.widths import text_width
from tabtools.score import Event, Note

STEP = 10.0  # from one line of the staff to the next
_BASELINE = 0.36  # of the font size: digits stand in the middle of their line
_AROUND = {"harmonic": ("<", ">"), "artificial": ("[", "]"), "pinch": ("[", "]"), "ghost": ("(", ")")}
_CLEAR = 1.2  # of a string on both sides of a number


def fret_words(note: Note) -> str:
    """What stands on the string: the fret, ``x`` for a dead note; in brackets what is touched or barely
    played, in round ones too what is held on from the note before."""
    words = "x" if note.fret is None or note.has("dead") else str(note.fret)
    for name, (opening, closing) in _AROUND.items():
        if note.has(name):
            return f"{opening}{words}{closing}"
    return f"({words})" if note.tied or note.has("tie") else words


def fret_width(note: Note, font: str = "fret") -> float:
    """How much of its string a note takes."""
    return text_width(fret_words(note), FONTS[font].size) + 2 * _CLEAR


def fret_font(event: Event) -> str:
    """The font of an event's numbers: grace notes have a smaller one."""
    return "grace" if event.grace else "fret"


def fret_y(string: int) -> float:
    """The height of a string's line, 0 for string 1."""
    return (string - 1) * STEP


def fret_shape(note: Note, x: float, key: str, font: str = "fret") -> Shape:
    """A note on its string, with its middle at ``x``."""
    assert note.string is not None
    words, y = fret_words(note), fret_y(note.string)
    faint = ' fill-opacity=".7"' if note.tied or note.has("tie") else ""
    middle = f'x="{number(x)}" y="{number(y + _BASELINE * FONTS[font].size)}" text-anchor="middle"'
    start = f'<text class="{font}" {middle}{faint}'
    place = f"{note.string}.{note.fret}"
    box = text_box(x, y, words, font, "middle")
    half = FONTS[font].size * 0.37
    return Shape(
        f'{start} data-n="{key}" data-s="{place}">{content(words)}</text>',
        Box(box.left, y - half, box.right, y + half),
        "text",
    )
