"""Words over the notes that name forms and positions, after their notes have moved."""

from __future__ import annotations

import re

from tabtools.forms.naming import outline
from tabtools.forms.segments import Segment
from tabtools.forms.table import QUALITIES
from tabtools.forms.words import ordinal
from tabtools.forms.written import parse_label
from tabtools.score import Bar, Part, Words

Notes = list[tuple[int, str]]
_FORM = re.compile(r"(?<![\w#])[EADCG](?:m|maj|dim|aug|sus)?[\w#()/]{0,8}(?=[- ](?:form|shape)\b)")
# A place on the neck in words; what is counted otherwise is none.
_PLACE = re.compile(
    r"\b\d{1,2}(?:st|nd|rd|th)\b(?! (?:string|finger|time|ending|bar|beat))"
    r"|\b[Oo]pen(?= pos)|(?<=[Ff]ret )\d{1,2}\b"
)
# What may no longer hold where notes go to other strings.
_STRINGS = re.compile(r"\b(?:open|strings?|barre)\b", re.IGNORECASE)
_DOUBTED = "“{}” may no longer be right: read it again"
_SPEAKING = ("form", "shape", "pos", "fret")
_NAMES = "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth"
_ORDINAL_WORDS = {word: number for number, word in enumerate(_NAMES.split(), 1)}
_ORDINALS = re.compile(rf"\b(?:{'|'.join(_ORDINAL_WORDS)})(?= pos)", re.IGNORECASE)


def relabelled(before: Part, after: Part, bars: frozenset[int]) -> tuple[Part, Notes]:
    """The part after a move with words that name the forms and positions that are there now, and what
    else words say that may no longer hold: the number of a bar, and a message."""
    named: dict[int, list[tuple[Bar, Segment]]] = {}
    told: Notes = []
    new_bars = []
    for number, (old, new) in enumerate(zip(before.bars, after.bars, strict=True)):
        speaking = any(_speaks(words.text) or _STRINGS.search(words.text) for words in new.words)
        if not speaking or (bars and new.number not in bars) or old.events == new.events:
            new_bars.append(new)
            continue
        segments = _segments(named, after, number)
        words = tuple(_word(item, old, new, segments, told) for item in new.words)
        new_bars.append(new._replace(words=words))
    return after._replace(bars=tuple(new_bars)), told


def _speaks(text: str) -> bool:
    return any(word in text.lower() for word in _SPEAKING) and bool(
        _FORM.search(text) or _PLACE.search(text) or _ORDINALS.search(text)
    )


def _segments(named: dict[int, list[tuple[Bar, Segment]]], part: Part, number: int) -> list[Segment]:
    """The segments that begin in a bar, by place; the part is named once."""
    if not named:
        named[-1] = []
        for one in outline(part):
            named.setdefault(one.bar.number, []).append((one.bar, one.segment))
    return [segment for _, segment in named.get(part.bars[number].number, [])]


def _word(words: Words, old: Bar, new: Bar, segments: list[Segment], told: Notes) -> Words:
    text = words.text
    by = _shift(old, new, words)
    if not _speaks(text):
        if by is None and _STRINGS.search(text):
            told.append((new.number, _DOUBTED.format(text)))
        return words
    places = [*_PLACE.finditer(text), *_ORDINALS.finditer(text)]
    if by is not None and not _is_open(places) and _lowest(places) + by >= 1:
        return words._replace(text=_shifted(text, by))
    segment = next((s for s in segments if s.notes[0].event.onset >= words.onset), None)
    label = parse_label(text)
    if segment is None or label is None or len(places) > 1 or (label.form and segment.reading is None):
        told.append((new.number, _DOUBTED.format(text)))
        return words
    if label.form and segment.reading:
        name = segment.reading.form + (QUALITIES[segment.reading.quality] if label.quality else "")
        text = _FORM.sub(name, text, count=1)
    return words._replace(text=_placed(text, _position(segment)))


def _position(segment: Segment) -> int:
    """The fret of the first finger; where an open string sounds beside a form up the neck, the lowest."""
    moved_up = segment.reading is not None and segment.reading.anchor_fret > 0
    return segment.frets[0] if moved_up and not segment.position else segment.position


def _shift(old: Bar, new: Bar, words: Words) -> int | None:
    """By how many frets all notes from the words on moved along their strings; None where they did not."""
    shifts = set()
    for before, after in zip(old.events, new.events, strict=True):
        if before.onset < words.onset:
            continue
        for one, other in zip(before.notes, after.notes, strict=True):
            if one.fret is not None and other.fret is not None:
                shifts.add(other.fret - one.fret if one.string == other.string else None)
    return shifts.pop() if len(shifts) == 1 else None


def _is_open(places: list[re.Match[str]]) -> bool:
    return any(place.group().lower() == "open" for place in places)


def _lowest(places: list[re.Match[str]]) -> int:
    numbers = [re.sub(r"\D", "", place.group()) for place in places]
    return min((int(number) for number in numbers if number), default=1)


def _shifted(text: str, by: int) -> str:
    """Every place in a text some frets further on."""

    def moved(match: re.Match[str]) -> str:
        digits = re.sub(r"\D", "", match.group())
        if not digits:
            return ordinal(_ORDINAL_WORDS[match.group().lower()] + by)
        number = int(digits) + by
        return str(number) if match.group().isdigit() else ordinal(number)

    return _ORDINALS.sub(moved, _PLACE.sub(moved, text))


def _placed(text: str, position: int) -> str:
    """The text with its one place made a position."""

    def named(match: re.Match[str]) -> str:
        if match.group().isdigit():
            return str(position)
        word = ordinal(position) if position > 0 else "open"
        return word.capitalize() if match.start() == 0 and position <= 0 else word

    return _ORDINALS.sub(named, _PLACE.sub(named, text, count=1), count=1)
