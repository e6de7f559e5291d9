"""The notes under a chord symbol spell another chord."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from tabtools.instrument import above_shapes
from tabtools.lint.chords import Stretch, Struck, chord_stretches
from tabtools.lint.finding import Finding, Severity
from tabtools.lint.meant import Misplaced, OtherChord, readings
from tabtools.lint.odd_chords import OddChord, odd_chords
from tabtools.lint.places import span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.theory.chord import Chord, pitch_classes, tones
from tabtools.theory.chord_finding import find_chord
from tabtools.theory.line_of_fifths import degree_semitones, pitch_class, place

BAD = """\
Tuning: standard
Key: G major

   D
e|-1-------1-------|
B|-3-------3-------|
G|-2-------2-------|
D|-0-------0-------|
A|-----------------|
E|-----------------|
"""
# A degree of the symbol, and those that contradict it where they stand in its place. A suspended grip under a
# plain symbol is none: players do that freely.
_RIVALS = {
    "3": ("b3",),
    "b3": ("3",),
    "7": ("b7",),
    "b7": ("7",),
    "5": ("b5", "#5"),
    "b5": ("5",),
    "#5": ("5",),
    "4": ("3", "b3"),
    "2": ("3", "b3"),
}
# Single notes tell a chord only where they are nothing but a triad, and go on for a while.
_SURE = 0.9  # below this confidence it is worth knowing, no more
_SPREAD, _TRIADS = 4, ("", "m", "dim")


def _check(view: View) -> Iterable[Finding]:
    stretches = [
        (stretch, found)
        for stretch in view.stage(chord_stretches)
        if stretch.chord is not None and stretch.chord.quality.degrees and stretch.struck
        for found in (_ways(stretch),)
    ]
    # What most symbols of the page name, sound or shape, names the notes too.
    right = [sum(found[way] is None for _, found in stretches) for way in (0, 1)]
    way = int(right[1] > right[0])
    told = set()
    for stretch, found in stretches:
        if all(found) and (spelled := found[way]):
            told.add(id(stretch.harmony))
            yield _finding(stretch, *spelled)
    for reading in view.stage(readings):
        if isinstance(reading, OtherChord) and id(reading.stretch.harmony) not in told:
            told.add(id(reading.stretch.harmony))
            yield _meant(reading)
        elif isinstance(reading, Misplaced):
            yield _misplaced(reading)
    if not view.score.parts or any(above_shapes(part.instrument) for part in view.score.parts):
        return
    for odd in view.stage(odd_chords):
        if id(odd.harmony) not in told:
            yield _beside_key(odd)


def _beside_key(odd: OddChord) -> Finding:
    """A symbol that the key does not have, where the others are the key's and the music has none of it."""
    advice = f"{odd.instead} would be" if odd.instead else "see whether another chord is meant"
    return RULE.finding(
        f"the other {odd.others} chords are {odd.key.name}'s, and {odd.harmony.symbol} has "
        f"{' and '.join(odd.foreign)}, which no note plays: {advice}; nothing to do if it is meant",
        odd.harmony.span or span_of(odd.bar),
        severity=Severity.INFO,
        bar=odd.bar.number,
    )


def _misplaced(reading: Misplaced) -> Finding:
    """A symbol that stands too early."""
    stretch, first = reading.stretch, reading.stretch.notes[0]
    symbol, before, bar = stretch.harmony.symbol, reading.before.text, first.bar
    return RULE.finding(
        f"{symbol} stands within bar {bar.number}, but what follows there is {before}'s still, "
        f"{reading.notes} notes of which {reading.own} are {symbol}'s: put {symbol} where its notes begin",
        stretch.harmony.span or span_of(first.note, first.event, bar),
        severity=None if reading.confidence >= _SURE else Severity.INFO,
        bar=bar.number,
    )


def _meant(reading: OtherChord) -> Finding:
    """A symbol that explains the notes under it worse than another one does, given the rest of the page."""
    stretch, bar = reading.stretch, reading.stretch.notes[0].bar
    count, symbol, other = len(stretch.notes), stretch.harmony.symbol, reading.chord.text
    if reading.inside == reading.before:
        evidence = f"all {count} notes of bar {bar.number} are {other}'s too, which has its root among them"
    else:
        evidence = (
            f"{reading.inside} of the {count} notes of bar {bar.number} are {other}'s, and {reading.before} "
            f"are {symbol}'s"
        )
    first = stretch.notes[0]
    return RULE.finding(
        f"the chord written is {symbol}, but {evidence}: correct the symbol or the frets",
        stretch.harmony.span or span_of(first.note, first.event, bar),
        severity=None if reading.confidence >= _SURE else Severity.INFO,
        bar=bar.number,
    )


def _ways(stretch: Stretch) -> tuple[tuple[Chord, Struck] | None, tuple[Chord, Struck] | None]:
    """What contradicts the symbol, taken for the sound and for the shape: it is wrong only if wrong either
    way."""
    sound = _spelled(stretch, 0)
    return sound, _spelled(stretch, -stretch.above) if stretch.above else sound


def _spelled(stretch: Stretch, shift: int) -> tuple[Chord, Struck] | None:
    """The chord that the notes spell, and where, if it contradicts the symbol."""
    assert stretch.chord is not None
    for struck in stretch.struck:
        other = _chord(stretch, struck.midis, shift)
        if other and _contradicts(stretch.chord, other):
            return other, struck
    if len(stretch.struck) < _SPREAD or any(len(struck.midis) > 2 for struck in stretch.struck):
        return None
    together = tuple(sorted(midi for struck in stretch.struck for midi in struck.midis))
    other = _chord(stretch, together, shift)
    if (
        other
        and other.quality.suffix in _TRIADS
        and len(pitch_classes(other) - pitch_classes(stretch.chord)) > 1
    ):
        return other, stretch.struck[0]
    return None


def _chord(stretch: Stretch, midis: tuple[int, ...], shift: int) -> Chord | None:
    """The chord of at least three different notes, if they all belong to it and not all to the symbol."""
    assert stretch.chord is not None
    weights = Counter((midi + shift) % 12 for midi in midis)
    if len(weights) < 3 or weights.keys() <= pitch_classes(stretch.chord):
        return None
    reading = find_chord(weights, (midis[0] + shift) % 12, stretch.key)
    return reading.chord if reading and not reading.outside else None


def _contradicts(written: Chord, spelled: Chord) -> bool:
    """Whether notes that spell one chord can't be meant by the symbol of another."""
    have, want = pitch_classes(spelled), pitch_classes(written)
    root = pitch_class(place(written.root_step, written.root_alter))
    if len(have - want) > 1 and len(have & want) < len(have - want):
        return True
    for named in written.quality.degrees:
        for rival in _RIVALS.get(named, ()):
            right, wrong = ((root + degree_semitones(name)) % 12 for name in (named, rival))
            if wrong in have and right not in have and wrong not in want:
                return True
    return False


def _finding(stretch: Stretch, spelled: Chord, struck: Struck) -> Finding:
    assert stretch.chord is not None
    written = stretch.chord
    message = (
        f"the chord written is {written.text} ({_notes(written)}), but the notes in bar {struck.bar.number} "
        f"spell {spelled.text} ({_notes(spelled)}): correct the symbol or the frets"
    )
    notes = tuple(span_of(note, event, struck.bar) for event in struck.events for note in event.notes)
    span = stretch.harmony.span or notes[0]
    return RULE.finding(message, span, related=notes, bar=struck.bar.number)


def _notes(chord: Chord) -> str:
    return " ".join(note for _, note in tones(chord))


RULE = Rule(
    name="chord-disagrees",
    group="harmony",
    severity=Severity.WARNING,
    what="The notes under a chord symbol spell another chord.",
    why=(
        "Either the symbol or a fret is wrong, and whoever strums from the symbol clashes with whoever "
        "plays "
        "the tab. Struck chords count, and single notes that spell a triad one after the other; a melody "
        "that only passes through other notes does not."
    ),
    bad=BAD,
    good=BAD.replace("   D\n", "   Dm\n"),
    check=_check,
)
