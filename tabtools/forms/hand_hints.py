"""What a page says about the hand: positions and forms written over the notes, and the forms they lie in."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence, Set
from itertools import product

from tabtools.fingering.hand import Grip, grips
from tabtools.fingering.hints import Hints, PositionHint, Pressing
from tabtools.forms.naming import name_forms
from tabtools.forms.neck import neck
from tabtools.forms.written import parse_label
from tabtools.score import Instrument, Part, Quarters, Words
from tabtools.theory.chord import Chord, parse_chord
from tabtools.theory.line_of_fifths import pitch_class, place
from tabtools.timeline import NoteIndex, chords_in_force

_STRINGS = 3  # fewer are no form
_MIDDLE = 5  # a fret where every form can be held
_LONGEST = 4  # bars for which a mark counts, unless another one comes
_ROMAN = re.compile(
    r"(?:[1-6½/ ]*[BC]\.? ?|pos(?:ition|\.)? ?)?(?P<numeral>[IVX]{1,5})\.?(?: ?pos(?:ition|\.)?)?"
)
_ONES = ("", "I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX")
_NUMERALS = {ten + one: number for number, (ten, one) in enumerate(product(("", "X"), _ONES))}


def hand_hints(part: Part, wished: Sequence[PositionHint] = ()) -> Hints:
    """The hints of a part: the positions that are ``wished``, else those written over the notes, and for
    notes with string and fret that a hand may hold as one form, bar by bar or form by form, its fingers."""
    positions = tuple(wished) or tuple(_positions(part))
    held: dict[NoteIndex, Pressing] = {}
    if part.instrument.tuning:
        for group in _groups(part):
            held.update(_pressings(part.instrument, group))
    return Hints(positions, held)


_Group = dict[NoteIndex, tuple[int, int]]  # string and fret of notes


def _groups(part: Part) -> Iterator[_Group]:
    """Notes that may be held as one form: those of a bar with one chord, where one hand holds them all;
    elsewhere those of a form that they are named by."""
    whole: set[int] = set()
    for number, (bar, chords) in enumerate(zip(part.bars, chords_in_force(part), strict=True)):
        group = {
            NoteIndex(number, e, n): (note.string, note.fret)
            for e, event in enumerate(bar.events)
            for n, note in enumerate(event.notes)
            if note.string is not None and note.fret is not None and not note.has("dead")
        }
        if len(set(chords)) < 2 and _grip(part.instrument, set(group.values())):
            whole.add(number)
            yield group
    if len(whole) == len(part.bars):
        return
    for segment in name_forms(part):
        members = {
            named.where: (named.note.string, named.note.fret)
            for named in segment.notes
            if named.member and named.where.bar not in whole
        }
        if segment.kind == "form" and segment.sure:
            yield {at: (s, f) for at, (s, f) in members.items() if s is not None and f is not None}


def roman(text: str) -> int | None:
    """The position that a numeral names, as classical editions write it: ``V``, ``C VII``, ``pos. IX``."""
    match = _ROMAN.fullmatch(text.strip())
    if match is None:
        return None
    return _NUMERALS.get(match["numeral"])


def _positions(part: Part) -> Iterator[PositionHint]:
    """The positions that words over the notes name, each up to the next one, or for a few bars."""
    marks = [
        (at, fret) for at, words, chord in _words(part) if (fret := _named(part, words, chord)) is not None
    ]
    lasts = _LONGEST * (part.bars[0].time.length if part.bars else Quarters(4))
    for number, (at, fret) in enumerate(marks):
        following = marks[number + 1][0] if number + 1 < len(marks) else at + lasts
        yield PositionHint(at, min(following, at + lasts), fret)


def _words(part: Part) -> Iterator[tuple[Quarters, Words, Chord | None]]:
    """The words over a part in order, with when they come and the chord in force."""
    for start, bar, chords in zip(part.starts, part.bars, chords_in_force(part), strict=True):
        for words in sorted(bar.words, key=lambda words: words.onset):
            events = zip(bar.events, chords, strict=True)
            harmony = next((harmony for event, harmony in events if event.onset >= words.onset), None)
            yield start + words.onset, words, parse_chord(harmony.symbol) if harmony else None


def _named(part: Part, words: Words, chord: Chord | None) -> int | None:
    """The position that words name, or that a form takes over the chord in force."""
    label = parse_label(words.text)
    if label is None:
        return roman(words.text)
    if label.position is not None or label.form is None or chord is None or not part.instrument.tuning:
        return label.position
    root = pitch_class(place(chord.root_step, chord.root_alter))
    anchors = [anchor for anchor in neck(part.instrument).anchors(label.form, root) if anchor >= 0]
    return anchors[0] if anchors else None


def _pressings(instrument: Instrument, group: _Group) -> Iterator[tuple[NoteIndex, Pressing]]:
    """The finger of each note of a form, and the position of the hand."""
    grip = _grip(instrument, set(group.values()))
    if grip is None:
        return
    position = max(1, min(press.fret - press.finger + 1 for press in grip.presses))
    first = next((press.fret for press in grip.presses if press.finger == 1), position)
    fingers = {(string, press.fret): press.finger for press in grip.presses for string in press.strings}
    for at, where in group.items():
        if where in fingers:
            yield at, Pressing(fingers[where], first)


def _grip(instrument: Instrument, places: Set[tuple[int, int]]) -> Grip | None:
    """How a hand holds places on three strings or more together; None where it does not. The fingers are
    those of the middle of the neck, so that a form has the same ones everywhere."""
    strings = {string for string, _ in places}
    if len(strings) != len(places) or len(places) < _STRINGS:
        return None
    found = next(iter(grips(instrument, places)), None)
    if found is None or found.excess or not found.presses:
        return None
    lowest = min(fret for _, fret in places)
    if not lowest:
        return found
    moved = grips(instrument, [(string, fret + _MIDDLE - lowest) for string, fret in places])[0]
    presses = tuple(press._replace(fret=press.fret - _MIDDLE + lowest) for press in moved.presses)
    return moved._replace(presses=presses)
