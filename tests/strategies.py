"""Hypothesis strategies: random scores that could be real, for every part of the test suite."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import strategies as st

from tabtools.instrument import TUNINGS, instrument_from
from tabtools.score import (
    ZERO,
    Bar,
    Event,
    Harmony,
    Instrument,
    Key,
    Note,
    Part,
    Score,
    Technique,
    Tempo,
    TimeSignature,
    Tuplet,
    Words,
)
from tabtools.theory.key import key_from_fifths
from tabtools.theory.spelling import spell

METRES = tuple(
    TimeSignature(*metre) for metre in ((4, 4), (3, 4), (2, 4), (6, 8), (12, 8), (5, 4), (7, 8), (2, 2))
)
CHORDS = (
    "C",
    "Am7",
    "G7",
    "F#m7b5",
    "Bb",
    "D/F#",
    "Eadd9",
    "A7sus4",
    "C7(#9)",
    "N.C.",
    "Dm(maj7)",
    "G5",
    "B♭7",
)
LENGTHS = tuple(Fraction(n, 4) for n in (1, 1, 2, 2, 2, 3, 4, 4, 6, 8))
_GROUPS = ((3, 2, Fraction(1, 2)), (3, 2, Fraction(1, 4)), (5, 4, Fraction(1, 4)))

_CHARACTERS = st.characters(codec="utf-8", exclude_categories=("C", "Z"), exclude_characters="\ufffd")
texts = st.text(_CHARACTERS, min_size=1, max_size=12)

# At most one of each of these on a note, with a size where the technique has one.
_SIZES = st.sampled_from([Fraction(n, 2) for n in (1, 2, 3, 4)])
_BENDS = st.builds(Technique, st.sampled_from(["bend", "bend-release", "prebend", "prebend-release"]), _SIZES)
_HARMONICS = st.sampled_from(["harmonic", "artificial", "pinch"]).map(Technique)
_JOINS = st.sampled_from(["hammer", "pull", "slide"]).map(Technique)
_TRILLS = st.builds(Technique, st.just("trill"), st.integers(1, 19).map(Fraction))
_PLAIN = st.sampled_from(
    ["slide-in", "slide-out", "tap", "vibrato", "tremolo", "whammy", "swell", "ghost", "palm-mute"]
    + ["let-ring", "rake", "slap", "pop"]
).map(Technique)


@st.composite
def techniques(draw: st.DrawFn) -> tuple[Technique, ...]:
    """None for most notes; else up to three that can stand together."""
    if draw(st.integers(0, 2)):
        return ()
    found = draw(st.lists(st.one_of(_BENDS, _HARMONICS, _JOINS, _TRILLS, _PLAIN), max_size=3))
    kinds = {technique.name.partition("-")[0].removeprefix("pre"): technique for technique in found}
    harmonic = {"harmonic", "artificial", "pinch"} & kinds.keys()
    for name in sorted(harmonic)[1:]:
        del kinds[name]
    return tuple(kinds.values())


@st.composite
def notes(draw: st.DrawFn, instrument: Instrument, key: Key | None, string: int) -> Note:
    """A note on a string; one in ten is dead."""
    if draw(st.integers(0, 9)) == 0:
        return Note(string, None, None, (Technique("dead"),))
    fret = draw(st.integers(0, 15))
    finger = draw(st.sampled_from([None, None, "1", "2", "3", "4", "T"]))
    return Note(string, fret, spell(instrument.midi(string, fret), key), draw(techniques()), finger)


@st.composite
def _struck(draw: st.DrawFn, instrument: Instrument, key: Key | None) -> tuple[Note, ...]:
    """Nothing, a note, or a chord on different strings."""
    count = min(draw(st.sampled_from([0, 1, 1, 1, 1, 2, 3])), len(instrument.tuning))
    strings = draw(st.permutations(range(1, len(instrument.tuning) + 1)))[:count]
    return tuple(draw(notes(instrument, key, string)) for string in sorted(strings))


def _held(before: tuple[Note, ...]) -> tuple[Note, ...]:
    """The same notes, tied over."""
    return tuple(Note(note.string, note.fret, note.pitch, tied=True) for note in before)


@st.composite
def _voice(draw: st.DrawFn, bar: Bar, length: Fraction, instrument: Instrument, voice: int) -> list[Event]:
    """Events that fill ``length`` without a gap."""
    events: list[Event] = []
    now = ZERO
    while now < length:
        if now.denominator == 1 and draw(st.integers(0, 6)) == 0:
            actual, normal, value = draw(st.sampled_from(_GROUPS))
            group: list[tuple[Fraction, Tuplet | None]] = [(value * normal / actual, Tuplet(actual, normal))]
            group *= actual
        else:
            group = [(draw(st.sampled_from(LENGTHS)), None)]
        if now + sum(duration for duration, _ in group) > length:
            group = [(min(Fraction(1, 4), length - now), None)]
        if draw(st.integers(0, 12)) == 0:
            events.append(Event(now, ZERO, (draw(notes(instrument, bar.key, 1)),), grace=True, voice=voice))
        for duration, tuplet in group:
            last = events[-1].notes if events and not events[-1].grace else ()
            tie = bool(last) and all(note.pitch for note in last) and draw(st.integers(0, 7)) == 0
            struck = _held(last) if tie else draw(_struck(instrument, bar.key))
            events.append(Event(now, duration, struck, tuplet=tuplet, voice=voice))
            now += duration
    return events


@st.composite
def bars(draw: st.DrawFn, number: int, before: Bar | None, instrument: Instrument) -> Bar:
    """A bar whose events fill its metre, in one voice or two."""
    changed = before is None or draw(st.integers(0, 5)) == 0
    time = draw(st.sampled_from(METRES)) if changed or before is None else before.time
    key = before.key if before is not None else None
    if changed:
        key = draw(
            st.none() | st.builds(key_from_fifths, st.integers(-7, 7), st.sampled_from(["major", "minor"]))
        )
    bar = Bar(number, time, key)
    pickup = number == 1 and draw(st.integers(0, 3)) == 0
    length = Fraction(1, 2) if pickup else time.length
    events = [
        event
        for v in range(1, draw(st.integers(1, 2)) + 1)
        for event in draw(_voice(bar, length, instrument, v))
    ]
    harmonies = draw(st.dictionaries(_places(length), st.sampled_from(CHORDS), max_size=2))
    remarks = draw(st.dictionaries(_places(length), texts, max_size=1))
    return bar._replace(
        events=tuple(sorted(events, key=lambda event: (event.onset, not event.grace))),
        harmonies=tuple(Harmony(onset, symbol) for onset, symbol in sorted(harmonies.items())),
        words=tuple(Words(onset, text) for onset, text in sorted(remarks.items())),
        pickup=pickup,
        section=draw(st.none() | texts),
        tempo=draw(st.none() | _tempos),
    )


_tempos = st.builds(
    Tempo,
    st.fractions(20, 300, max_denominator=12),
    st.sampled_from([Fraction(1), Fraction(1, 2), Fraction(3, 2), Fraction(2)]),
)


def _places(length: Fraction) -> st.SearchStrategy[Fraction]:
    return st.integers(0, int(length * 4) - 1).map(lambda quarter: Fraction(quarter, 4))


@st.composite
def parts(draw: st.DrawFn) -> Part:
    """A part of one to four bars on any instrument of the table, with a capo or without."""
    instrument = instrument_from(draw(st.sampled_from(TUNINGS)), draw(st.sampled_from([0, 0, 0, 2, 5])))
    found: list[Bar] = []
    for number in range(1, draw(st.integers(1, 4)) + 1):
        found.append(draw(bars(number, found[-1] if found else None, instrument)))
    repeated = draw(st.booleans())
    if repeated:
        found[0] = found[0]._replace(repeat_start=True)
        found[-1] = found[-1]._replace(repeat_times=draw(st.integers(2, 4)))
    if repeated and len(found) > 2:
        found[-1] = found[-1]._replace(endings=(1,))
        found.append(draw(bars(len(found) + 1, found[-1], instrument)))
        found[-1] = found[-1]._replace(endings=(2, 3))
    return Part(draw(texts), instrument, tuple(found))


scores = st.builds(
    Score,
    st.lists(parts(), min_size=1, max_size=2).map(tuple),
    st.none() | texts,
    st.none() | texts,
)
