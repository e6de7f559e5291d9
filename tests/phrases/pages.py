"""Random phrases of a kind that lead teachers use, as pages of text tab; invented, by rules of the trade."""

from __future__ import annotations

from fractions import Fraction
from random import Random

from tabtools.forms.neck import neck
from tabtools.forms.places import form_grip
from tabtools.forms.words import ordinal
from tabtools.instrument import GUITAR
from tabtools.phrases.names import Interval, moved_chord
from tabtools.score import Bar, Event, Harmony, Key, Note, Part, Score, Technique, Tempo, Words
from tabtools.text.writing.writer import write_text
from tabtools.theory.chord import parse_chord
from tabtools.theory.key import plainest_key
from tabtools.theory.line_of_fifths import pitch_class, place
from tabtools.theory.spelling import spell

_DEGREES = (("C", "maj"), ("Dm", "min"), ("Em", "min"), ("F", "maj"), ("G", "maj"), ("Am", "min"))
_FORMS = {"maj": ("E", "A", "C", "D", "G"), "min": ("E", "A", "D", "C")}
_BOX = {6: (0, 3), 5: (0, 2), 4: (0, 2), 3: (0, 2), 2: (0, 3), 1: (0, 3)}


def phrase(random: Random) -> str:
    """A page of two to four bars in eighths: broken chords of movable forms, or a line in a minor pentatonic
    box, with hammer-ons, pull-offs, slides, bends, vibrato and palm mute."""
    key = plainest_key(random.randrange(12), random.choice(["major", "minor"]))
    make = random.choice([_arpeggio, _line])
    bars = tuple(make(random, key, number) for number in range(1, random.randint(2, 4) + 1))
    bars = (bars[0]._replace(tempo=Tempo(Fraction(random.choice([60, 72, 84, 96])))), *bars[1:])
    return write_text(Score((Part("Guitar", GUITAR, bars),), "A phrase", "Runa Thistlewood"))


def _note(string: int, fret: int, key: Key, *techniques: Technique) -> Note:
    return Note(string, fret, spell(GUITAR.midi(string, fret), key), techniques)


def _bar(key: Key, number: int, notes: list[Note], symbol: str, words: str) -> Bar:
    events = tuple(Event(Fraction(at, 2), Fraction(1, 2), (note,)) for at, note in enumerate(notes))
    said = (Words(Fraction(0), words),) if words else ()
    return Bar(number, key=key, events=events, harmonies=(Harmony(Fraction(0), symbol),), words=said)


def _arpeggio(random: Random, key: Key, number: int) -> Bar:
    fifths = {"major": 0, "minor": 3}[key.mode]
    name, quality = random.choice(_DEGREES)
    symbol = moved_chord(name, _from_c(key, fifths)) or name
    chord = parse_chord(symbol)
    assert chord is not None
    on = neck(GUITAR)
    root = pitch_class(place(chord.root_step, chord.root_alter))
    form = random.choice(_FORMS[quality])
    anchor = next(a for a in on.anchors(form, root) if a >= 1)
    grip = form_grip(on, form, quality, anchor)
    assert grip is not None
    held = [(string, fret) for string, fret, _ in grip.notes]
    line = [*held, *held[-2:0:-1]]
    notes = [_note(*line[at % len(line)], key) for at in range(8)]
    if random.random() < 0.3:
        notes[-1] = notes[-1]._replace(techniques=(Technique("vibrato"),))
    low = min(fret for _, fret in held)
    name = f"{form}{'m' if quality == 'min' else ''} form"
    return _bar(key, number, notes, symbol, f"{name}, {ordinal(low)} position")


def _from_c(key: Key, fifths: int) -> Interval:
    shift = place(key.step, key.alter) - fifths
    return Interval(7 * shift % 12, shift)


def _line(random: Random, key: Key, number: int) -> Bar:
    """A walk through the box of the key's minor pentatonic, at the tonic on string 6."""
    minor = pitch_class(place(key.step, key.alter) + (3 if key.mode == "major" else 0))
    low = (minor - 4) % 12 or 12
    box = [(string, low + fret) for string in range(6, 0, -1) for fret in _BOX[string]]
    at = random.randrange(len(box) - 4)
    notes: list[Note] = []
    for _ in range(8):
        step = random.choice([-1, 1, 1])
        after = min(max(at + step, 0), len(box) - 1)
        techniques: tuple[Technique, ...] = ()
        if notes and box[after][0] == notes[-1].string and box[after] != (notes[-1].string, notes[-1].fret):
            up = box[after][1] > (notes[-1].fret or 0)
            joins = ["hammer" if up else "pull", "slide", ""]
            join = random.choice(joins)
            techniques = (Technique(join),) if join else ()
        elif random.random() < 0.15 and box[after][0] <= 3:
            techniques = (Technique("bend", Fraction(random.choice([1, 2]))),)
        elif random.random() < 0.15:
            techniques = (Technique("vibrato"),)
        notes.append(_note(*box[after], key, *techniques))
        at = after
    symbol = moved_chord("C" if key.mode == "major" else "Cm", Interval(0, place(key.step, key.alter))) or "C"
    return _bar(key, number, notes, symbol, "")
