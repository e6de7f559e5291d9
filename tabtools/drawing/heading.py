"""The rows above a system: section and tempo, endings, chord symbols, the author's words, names of forms."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import groupby

from tabtools.drawing.places import BarPlace, SystemPlaces
from tabtools.drawing.shapes import (
    FONTS,
    Box,
    Shape,
    disc,
    filled,
    line,
    number,
    text_height,
    text_over,
)
from tabtools.drawing.stack import Item
from tabtools.drawing.widths import text_width
from tabtools.score import Quarters, Tempo
from tabtools.theory.duration import single

_ENDING = 15.0  # height of an ending's bracket
_NAVIGATION = {
    "segno": "Segno",
    "coda": "Coda",
    "to-coda": "To Coda",
    "fine": "Fine",
    "da-capo": "D.C.",
    "dal-segno": "D.S.",
}

# Words over places: bar index and onset, and what stands there.
Labels = Mapping[int, Sequence[tuple[Quarters, str]]]


def heading_rows(places: SystemPlaces, forms: Labels) -> Iterator[list[Item]]:
    """The rows above a system, the nearest to the music first. ``forms`` are the names of the forms."""
    yield [item for place in places.bars for item in _labels(places, place, forms.get(place.at, ()), "form")]
    yield [item for place in places.bars for item in _labels(places, place, _words(place), "words")]
    yield [item for place in places.bars for item in _labels(places, place, _chords(place), "chord")]
    yield [*_endings(places.bars), *_times(places)]
    yield list(_openings(places))


def _words(place: BarPlace) -> list[tuple[Quarters, str]]:
    return [(words.onset, words.text) for words in place.bar.words if words.text.strip()]


def _chords(place: BarPlace) -> list[tuple[Quarters, str]]:
    return [(harmony.onset, harmony.symbol) for harmony in place.bar.harmonies]


def _labels(
    places: SystemPlaces, place: BarPlace, labels: Sequence[tuple[Quarters, str]], font: str
) -> Iterator[Item]:
    for onset, words in labels:
        yield from label(places.x_at(place, onset) - 4, words, font, places)


def label(x: float, words: str, font: str, places: SystemPlaces) -> Iterator[Item]:
    """Words that begin at x, moved to the left or cut into lines where the system has no room for them."""
    face = FONTS[font]
    for line_words in _cut(words, font, places.right - places.left):
        width = text_width(line_words, face.size, bold=face.bold)
        left = max(places.left, min(x, places.right - width))

        def draw(bottom: float, left: float = left, line_words: str = line_words) -> list[Shape]:
            return [text_over(left, bottom, line_words, font)]

        yield Item(left, left + width, text_height(font), draw)


def _cut(words: str, font: str, room: float) -> list[str]:
    """Lines that fit, the last one first: rows are laid from below."""
    lines = [""]
    for word in words.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and text_width(longer, FONTS[font].size, bold=FONTS[font].bold) > room:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines[::-1]


def _endings(bars: Sequence[BarPlace]) -> Iterator[Item]:
    """Brackets over the bars of each ending."""
    numbered = [place for place in bars if place.bar.endings]
    for passes, group in groupby(numbered, lambda place: place.bar.endings):
        span = list(group)
        closes = bool(span[-1].bar.repeat_times)
        yield _ending(
            ", ".join(f"{number_}." for number_ in passes), span[0].left + 2, span[-1].right - 2, closes
        )


def _ending(words: str, left: float, right: float, closes: bool) -> Item:
    def draw(bottom: float) -> list[Shape]:
        top = bottom - _ENDING
        shapes = [line(left, top, right, top), line(left, top, left, bottom)]
        if closes:
            shapes.append(line(right, top, right, bottom))
        return [*shapes, text_over(left + 4, bottom - 1, words, "ending")]

    return Item(left, right, _ENDING, draw)


def _times(places: SystemPlaces) -> Iterator[Item]:
    """How often a repeat is played, where it is not twice; and the signs for the order of playing."""
    for place in places.bars:
        words = [_navigation(name) for name in place.bar.navigation if name not in ("segno", "coda")]
        if place.bar.repeat_times > 2:
            words.insert(0, f"{place.bar.repeat_times}\N{MULTIPLICATION SIGN}")
        if words:
            together = ", ".join(words)
            width = text_width(together, FONTS["times"].size, bold=True)
            yield from label(place.right - width, together, "times", places)
        for name in place.bar.navigation:
            if name in ("segno", "coda"):
                yield from label(place.left + 2, _navigation(name), "times", places)


def _navigation(name: str) -> str:
    start, _, goal = name.partition("-al-")
    words = _NAVIGATION.get(start, start)
    return f"{words} al {goal.capitalize()}" if goal else words


def _openings(places: SystemPlaces) -> Iterator[Item]:
    """Section name and tempo, one behind the other at the bar where they begin."""
    for place in places.bars:
        x = place.left if place is not places.bars[0] else places.left
        if place.bar.section:
            for item in label(x, place.bar.section, "section", places):
                yield item
                x = item.right + 12
        if place.bar.tempo is not None:
            yield _tempo(place.bar.tempo, x, places)


def _tempo(tempo: Tempo, x: float, places: SystemPlaces) -> Item:
    """A note, and how many of it there are in a minute."""
    beat = single(tempo.beat)
    words = f"= {float(tempo.per_minute):g}"
    if beat is None:
        return next(
            label(x, f"{float(tempo.per_minute * tempo.beat):g} quarter notes a minute", "tempo", places)
        )
    room = 12.0 + 4 * beat.dots
    width = room + text_width(words, FONTS["tempo"].size)
    left = max(places.left, min(x, places.right - width))

    def draw(bottom: float) -> list[Shape]:
        note = note_sign(left, bottom - 2.5, beat.type, beat.dots)
        return [*note, text_over(left + room, bottom, words, "tempo")]

    return Item(left, left + width, 16, draw)


def note_sign(x: float, y: float, kind: str, dots: int = 0) -> list[Shape]:
    """A small note of a type such as ``quarter``, its head at the left and on the line y."""
    hollow = kind in ("half", "whole", "breve")
    middle = f'cx="{number(x + 3)}" cy="{number(y - 2.2)}"'
    head = f'<ellipse class="{"thin" if hollow else "ink"}" {middle} rx="3" ry="2.2"/>'
    shapes = [Shape(head, Box(x, y - 4.4, x + 6, y))]
    if kind not in ("whole", "breve"):
        shapes.append(line(x + 5.6, y - 2.8, x + 5.6, y - 13, style="stem"))
    if kind in ("eighth", "16th"):
        for flag in range(1 + (kind == "16th")):
            top = y - 13 + 3.5 * flag
            path = f"M{number(x + 5.6)} {number(top)}q4 3 3.4 7q-.6 -3 -3.4 -3.6Z"
            shapes.append(filled(path, Box(x + 5.6, top, x + 9.2, top + 7)))
    shapes += (disc(x + 9.5 + 4 * dot, y - 2, 1.1) for dot in range(dots))
    return shapes


def bar_number(places: SystemPlaces, start: int) -> str | None:
    """The number to print at the start of a system; none at the beginning of a part."""
    first = places.bars[0]
    return None if first.at <= start else str(first.bar.label or first.bar.number)


def beat_words(tempo: Tempo) -> str:
    """A tempo in plain words: ``66 quarter notes a minute``."""
    beat = single(tempo.beat) if tempo.beat != Fraction(1) else None
    names = {"eighth": "eighth notes", "half": "half notes", "quarter": "dotted quarter notes"}
    if beat is None or (beat.type == "quarter") != bool(beat.dots):
        return f"{float(tempo.per_minute * tempo.beat):g} quarter notes a minute"
    return f"{float(tempo.per_minute):g} {names.get(beat.type, beat.type)} a minute"
