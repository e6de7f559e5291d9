"""What stands over a tab staff: letters, waves and dashed spans that say how to play. And fingers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tabtools.drawing.bends import column_bend_width
from tabtools.drawing.joins import LETTERS, Join, ends
from tabtools.drawing.places import Column, SystemPlaces
from tabtools.drawing.shapes import FONTS, Box, Shape, line, number, stroke, text_height, text_over
from tabtools.drawing.stack import Item
from tabtools.drawing.widths import text_width
from tabtools.score import Note
from tabtools.techniques import BY_NAME

# Techniques with a word of their own over the note. Those that last are drawn as a dashed span.
_WORDS = {
    "tap": "T",
    "trill": "tr",
    "tremolo": "trem.",
    "swell": "swell",
    "harmonic": "harm.",
    "artificial": "A.H.",
    "pinch": "P.H.",
    "slap": "slap",
    "pop": "pop",
}
SPANS = {"palm-mute": "P.M.", "let-ring": "let ring", "whammy": "w/bar", "rake": "rake"}
_WAVE, _SWING = 4.0, 2.6  # length and height of one wave of a vibrato
_HOOK = 4.0

assert BY_NAME.keys() >= _WORDS.keys() | SPANS.keys()


def mark_rows(places: SystemPlaces, part_joins: Sequence[Join]) -> Iterator[list[Item]]:
    """The rows over a tab staff, the nearest first."""
    yield [*_letters(places, part_joins), *_vibratos(places.columns)]
    yield list(_words(places.columns))
    for name, word in SPANS.items():
        yield list(_spans(places.columns, name, word))


def _label(x: float, words: str, font: str = "mark", anchor: str = "middle") -> Item:
    """A word whose middle, or start, is at x."""
    width = text_width(words, FONTS[font].size)
    left = x - width / 2 if anchor == "middle" else x

    def draw(bottom: float) -> list[Shape]:
        return [text_over(left, bottom, words, font)]

    return Item(left, left + width, text_height(font), draw)


def _letters(places: SystemPlaces, part_joins: Sequence[Join]) -> Iterator[Item]:
    columns = {(column.bar, column.event): column for column in places.columns}
    drawn: set[tuple[float, str]] = set()
    for join in part_joins:
        reach, letter = ends(join, columns), LETTERS.get(join.kind)
        if reach is None or letter is None:
            continue
        middle = round((reach.left + reach.right) / 2, 1)
        if (middle, letter) not in drawn:
            drawn.add((middle, letter))
            yield _label(middle, letter)


def _words(columns: Sequence[Column]) -> Iterator[Item]:
    for column in columns:
        names = {name: None for note in _placed(column) for name in _WORDS if note.has(name)}
        if names:
            yield _label(column.x, " ".join(_WORDS[name] for name in names))


def _placed(column: Column) -> Iterator[Note]:
    return (note for note in column.written.notes if note.string is not None)


def _vibratos(columns: Sequence[Column]) -> Iterator[Item]:
    for column in columns:
        notes = [note for note in _placed(column) if note.has("vibrato")]
        if notes:
            left = column.x - 3 + column_bend_width(column.written.notes)
            yield _wave(left, max(left + 3 * _WAVE, min(column.end - 8, left + 9 * _WAVE)))


def _wave(left: float, right: float) -> Item:
    count = int((right - left) / _WAVE)
    right = left + count * _WAVE

    def draw(bottom: float) -> list[Shape]:
        middle = bottom - _SWING
        path = f"M{number(left)} {number(middle)}q1 -{2 * _SWING} 2 0" + "t2 0" * (2 * count - 1)
        return [stroke(path, Box(left, middle - _SWING, right, bottom))]

    return Item(left, right, 2 * _SWING, draw)


def _spans(columns: Sequence[Column], name: str, word: str) -> Iterator[Item]:
    """Dashed lines over the runs of notes that share a technique."""
    run: list[Column] = []
    for column in columns:
        if any(note.has(name) for note in _placed(column)):
            run.append(column)
        elif run and column.written.notes:
            yield _span(run, word)
            run = []
    if run:
        yield _span(run, word)


def _span(run: Sequence[Column], word: str) -> Item:
    width = text_width(word, FONTS["mark"].size)
    left = run[0].x - 4
    right = max(left + width, run[-1].x + 5)

    def draw(bottom: float) -> list[Shape]:
        shapes = [text_over(left, bottom, word, "mark")]
        y = bottom - text_height("mark") / 2
        if right > left + width + 8:
            shapes.append(line(left + width + 3, y, right, y, style="dashed"))
            shapes.append(line(right, y, right, y + _HOOK))
        return shapes

    return Item(left, right, text_height("mark"), draw)


def finger_items(columns: Sequence[Column]) -> Iterator[list[Item]]:
    """The rows of fingers under the staff: of notes struck together, the highest string first."""
    shown = []
    for column in columns:
        fingered = sorted(
            (n for n in _placed(column) if n.finger and not n.tied), key=lambda note: note.string or 0
        )
        shown.append((column, [note.finger for note in fingered]))
    for row in range(max((len(fingers) for _, fingers in shown), default=0)):
        yield [
            _label(column.x, fingers[row] or "", "finger") for column, fingers in shown if row < len(fingers)
        ]
