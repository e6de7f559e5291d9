"""How often a seeded random arpeggio gets its form: `python -m tests.benchmarks.form_accuracy`.

Three or more neighbouring strings of a grip, on which all its degrees sound, in random order, at anchors 1
to 12, with and without the chord symbol, and with one note added that is a step away on the same string.
Without the symbol only qualities that single notes may tell are asked for. An answer of the same notes in
another grip counts as an equal reading; without a symbol chords of the same notes have several names.
"""

from __future__ import annotations

import random
from fractions import Fraction

from tabtools.forms.naming import name_forms
from tabtools.forms.segments import Segment
from tabtools.forms.table import QUALITIES, RICH, Grip, grips, letter_class
from tabtools.instrument import GUITAR
from tabtools.score import Bar, Event, Harmony, Note, Part
from tabtools.theory.line_of_fifths import pitch_class, place_of_letter
from tabtools.theory.spelling import spell

_ROOTS = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
_TRIES = 600


def _music(rng: random.Random, grip: Grip, anchor: int, *, symbol: bool, neighbour: bool) -> Part:
    places = [(string, anchor + fret) for string, fret in grip.frets]
    degrees = [degree for _, degree in grip.degrees]
    spans = [
        (i, j)
        for i in range(len(places))
        for j in range(i + 3, len(places) + 1)
        if set(degrees[i:j]) == set(degrees)
    ]
    start, end = rng.choice(spans)
    line = places[start:end]
    rng.shuffle(line)
    if neighbour:
        at = rng.randrange(len(line))
        string, fret = line[at]
        line[at + 1 : at + 1] = [(string, fret + rng.choice((-2, -1, 1, 2))), (string, fret)]
    events = tuple(
        Event(Fraction(i, 2), Fraction(1, 2), (Note(s, f, spell(GUITAR.midi(s, f), None)),))
        for i, (s, f) in enumerate(line)
        if f >= 0
    )
    root = _ROOTS[(letter_class(grip.form) + anchor) % 12]
    chord = (Harmony(Fraction(0), root + QUALITIES[grip.quality]),) if symbol else ()
    return Part("random", GUITAR, (Bar(1, events=events, harmonies=chord),))


def _judge(segments: tuple[Segment, ...], grip: Grip, anchor: int) -> tuple[bool, bool]:
    """Whether root and quality are right, and whether the form is, too."""
    if len(segments) != 1 or segments[0].reading is None or segments[0].kind != "form":
        return False, False
    root = (letter_class(grip.form) + anchor) % 12
    for reading in (segments[0].reading, *segments[0].equal_readings):
        chord = pitch_class(place_of_letter(reading.root)) == root and reading.quality == grip.quality
        if not chord:
            return False, False
        if (reading.form, reading.anchor_fret) == (grip.form, anchor):
            return True, True
    return True, False


def main() -> None:
    """Print the share of right answers in four settings."""
    for neighbour in (False, True):
        for symbol in (True, False):
            rng = random.Random(11)
            right = [0, 0]
            asked = [grip for grip in grips() if symbol or grip.quality not in RICH]
            for _ in range(_TRIES):
                grip, anchor = rng.choice(asked), rng.randint(1, 12)
                music = _music(rng, grip, anchor, symbol=symbol, neighbour=neighbour)
                for index, hit in enumerate(_judge(name_forms(music), grip, anchor)):
                    right[index] += hit
            added = "one neighbour" if neighbour else "clean"
            print(
                f"{added:14} {'chord symbol' if symbol else 'no symbol':13} "
                f"root and quality {right[0] / _TRIES:.1%}, form too {right[1] / _TRIES:.1%}"
            )


if __name__ == "__main__":
    main()
