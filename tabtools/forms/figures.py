"""What the notes of a line do, in a teacher's words: double stops, passing chords, arpeggios, open strings.

A figure is said of every segment that it touches. Names are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import pairwise

from tabtools.forms.cost import LABELS, in_grip
from tabtools.forms.cuts import Cut, FormLabel
from tabtools.forms.evidence import Stroke, Tone
from tabtools.forms.neck import Stringing
from tabtools.forms.places import quality_of
from tabtools.forms.table import FORMS, QUALITIES, quality
from tabtools.forms.words import form_words
from tabtools.score import Key
from tabtools.theory import chord as chords
from tabtools.theory.chord import Chord
from tabtools.theory.key import pitch_classes as key_pitch_classes
from tabtools.theory.line_of_fifths import pitch_class, place
from tabtools.theory.spelling import spell

_FEWEST = 2  # double stops in a row, at different frets
_NUMBERS = {3: "thirds", 4: "thirds", 5: "fourths", 7: "fifths", 8: "sixths", 9: "sixths", 12: "octaves"}
_WIDE = {15: "tenths", 16: "tenths"}
_ADDED = {2: "ninth", 5: "eleventh", 9: "sixth", 10: "minor seventh", 11: "major seventh"}
_CHORD = 3  # notes struck together
_ARPEGGIO = 3  # degrees of a chord, one after the other


class Figures:
    """The strokes of a part with its segments, to find figures in. ``heard`` is by how many semitones the
    notes sound above the chord symbols and the key."""

    def __init__(self, line: Sequence[Stroke], neck: Stringing, heard: int) -> None:
        self.line = line
        self.neck = neck
        self.heard = heard
        self._by_stroke: dict[int, str] = {}
        for start, end in self._streaks():
            words = self._double_stops(start, end) or self._passing_chords(start, end)
            if words:
                self._by_stroke.update(dict.fromkeys(range(start, end), words))

    def of(self, cut: Cut, symbol: str | None) -> str | None:
        """The figure of a segment; ``symbol`` is the chord of its form."""
        line = self.line[cut.start : cut.end]
        words = self._by_stroke.get(cut.start) or self._by_stroke.get(cut.end - 1)
        if words is None and isinstance(cut.label, FormLabel) and symbol:
            words = self._arpeggio(line, cut.label, symbol)
        elif words is None and _in_open_position(line):
            words = "open-position lick"
        if any(tone.note.has("rake") for stroke in line for tone in stroke.tones):
            words = f"{words}, raked" if words else "raked"
        return words

    def _streaks(self) -> Iterator[tuple[int, int]]:
        """Strokes of two or more notes on the same strings in a row, under one chord: first and end."""
        line = self.line
        starts = [i for i in range(len(line)) if not i or not _goes_on(line[i - 1], line[i])]
        for start, end in pairwise([*starts, len(line)]):
            if len(self.line[start].tones) > 1 and end - start >= _FEWEST:
                yield start, end

    def _double_stops(self, start: int, end: int) -> str | None:
        """As in ``sixths on strings 3 and 1, from the E form to the D form``."""
        strokes = self.line[start:end]
        if len(strokes[0].tones) != 2 or len({stroke.tones[0].fret for stroke in strokes}) < _FEWEST:
            return None
        names = {_number(stroke) for stroke in strokes}
        low, high = strokes[0].tones
        on = f"strings {_string(low)} and {_string(high)}"
        name = names.pop() if len(names) == 1 else "double stops"
        words = f"{name or 'double stops'} on {on}"
        slides = sum(all(tone.note.has("slide") for tone in stroke.tones) for stroke in strokes)
        pair = f", slid pair{'' if slides == 1 else 's'}" if slides else ""
        return words + self._from_form_to_form(strokes) + pair

    def _from_form_to_form(self, strokes: Sequence[Stroke], of: str = "") -> str:
        chord = strokes[0].chord
        forms = [form for stroke in strokes if chord and (form := self._form(stroke, chord))]
        if len(forms) < _FEWEST or forms[0] == forms[-1]:
            return ""
        return f", from the {forms[0]} to the {forms[-1]}{of}"

    def _form(self, stroke: Stroke, chord: Chord) -> str | None:
        """The form of a chord in whose grip all notes of a stroke lie."""
        try:
            name = quality_of(chord)
        except ValueError:
            return None
        root = (pitch_class(place(chord.root_step, chord.root_alter)) + self.heard) % 12
        for form in FORMS:
            if (form, name) not in LABELS:
                continue
            fq = LABELS.index((form, name))
            for anchor in self.neck.anchors(form, root):
                if all(in_grip(fq, tone, anchor) for tone in stroke.tones):
                    return form_words(form, name)
        return None

    def _passing_chords(self, start: int, end: int) -> str | None:
        """Chords that step from one form of the chord in force to another: ``passing chord Dm, …``."""
        strokes = self.line[start:end]
        chord = strokes[0].chord
        if chord is None or len(strokes[0].tones) < _CHORD:
            return None
        tones = chords.pitch_classes(chord)
        inside = [self._classes(stroke) <= tones for stroke in strokes]
        names = [
            self._symbol(strokes[i])
            for i in range(1, len(strokes) - 1)
            if not inside[i] and any(inside[:i]) and any(inside[i + 1 :])
        ]
        if not names:
            return None
        told = list(dict.fromkeys(name for name in names if name))
        words = "passing chord" + (f"s {', '.join(told)}" if len(told) > 1 else f" {told[0]}" if told else "")
        at_home = [stroke for stroke, home in zip(strokes, inside, strict=True) if home]
        return words + self._from_form_to_form(at_home, f" of {chord.text}")

    def _classes(self, stroke: Stroke) -> frozenset[int]:
        return frozenset((tone.midi - self.heard) % 12 for tone in stroke.tones)

    def _symbol(self, stroke: Stroke) -> str | None:
        """The chord whose tones a stroke has, and no other; None where it spells none of those with forms."""
        found = _spelled_by(self._classes(stroke), (stroke.tones[0].midi - self.heard) % 12)
        if found is None:
            return None
        root, suffix = found
        return spell(60 + root, stroke.tones[0].bar.key).letter + suffix

    def _arpeggio(self, line: Sequence[Stroke], label: FormLabel, symbol: str) -> str | None:
        """As in ``C arpeggio, with the ninth added``: single notes of a chord, and at most one other."""
        form, name = LABELS[label.fq]
        if any(len(stroke.tones) > 1 for stroke in line):
            return None
        root = (self.neck.root(form, label.anchor) - self.heard) % 12
        tones = [stroke.tones[0] for stroke in line]
        degrees = {(tone.midi - self.heard - root) % 12 for tone in tones}
        inside = {semitones % 12 for semitones in quality(name).semitones}
        if len(degrees & inside) < _ARPEGGIO:
            return None
        words = f"{symbol} arpeggio, {form_words(form, name)}"
        added = degrees - inside
        if len(added) == 1 and (semitones := added.pop()) in _ADDED:
            if _of_key(tones[0].bar.key, (root + semitones) % 12):
                words += f", with the {_ADDED[semitones]} added"
        elif added:
            words += ", with notes between"
        return words


def _goes_on(before: Stroke, stroke: Stroke) -> bool:
    strings = [[tone.string for tone in each.tones] for each in (before, stroke)]
    return strings[0] == strings[1] and not stroke.turns and not stroke.breaks


def _number(stroke: Stroke) -> str | None:
    """The kind of a double stop: ``thirds``; compound ones are named within the octave, tenths apart."""
    low, high = sorted(tone.midi for tone in stroke.tones)
    apart = high - low
    return _WIDE.get(apart) or _NUMBERS.get(apart if apart <= 12 else apart % 12)


def _string(tone: Tone) -> int:
    assert tone.note.string is not None
    return tone.note.string


def _in_open_position(line: Sequence[Stroke]) -> bool:
    frets = [tone.fret for stroke in line for tone in stroke.tones]
    single = all(len(stroke.tones) == 1 for stroke in line)
    return single and len(frets) >= _CHORD and 0 in frets and max(frets) <= 4


def _of_key(key: Key | None, semitones: int) -> bool:
    return key is None or semitones in key_pitch_classes(key)


@lru_cache(maxsize=1024)
def _spelled_by(classes: frozenset[int], bass: int) -> tuple[int, str] | None:
    """Root and suffix of the chord with these tones; where several have them, the one on the lowest note."""
    found = [
        (root != bass, number, root, suffix)
        for number, (name, suffix) in enumerate(QUALITIES.items())
        for root in classes
        if {(root + semitones) % 12 for semitones in quality(name).semitones} == classes
    ]
    return min(found)[2:] if found else None
