"""Hand-made scores for the tests: our own bars, one for each thing that is easy to get wrong."""

from __future__ import annotations

from fractions import Fraction

from tabtools.instrument import GUITAR, TUNINGS, instrument_from
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
from tabtools.theory.spelling import spell

TRIPLET = Tuplet(3, 2)
CAPO = instrument_from(TUNINGS[0], capo=2)
BASS = instrument_from(next(tuning for tuning in TUNINGS if tuning.instrument == "Bass"))
UKULELE = instrument_from(next(tuning for tuning in TUNINGS if tuning.instrument == "Ukulele"))


def note(string: int, fret: int, *names: str, instrument: Instrument = GUITAR, tied: bool = False) -> Note:
    """A note with techniques given as ``name`` or ``name:size``."""
    techniques = []
    for name in names:
        word, _, size = name.partition(":")
        techniques.append(Technique(word, Fraction(size) if size else None))
    return Note(string, fret, spell(instrument.midi(string, fret), None), tuple(techniques), tied=tied)


def dead(string: int) -> Note:
    return Note(string, None, None, (Technique("dead"),))


def events(*rows: tuple[object, ...], voice: int = 1) -> tuple[Event, ...]:
    """Events in a row, each given as its length and its notes."""
    found, now = [], ZERO
    for length, *notes in rows:
        duration = Fraction(str(length))
        struck = tuple(n for n in notes if isinstance(n, Note))
        found.append(Event(now, duration, struck, voice=voice))
        now += duration
    return tuple(found)


def one_part(*bars: Bar, instrument: Instrument = GUITAR) -> Score:
    return Score((Part("Lead", instrument, bars),))


LICK = one_part(
    Bar(
        1,
        key=Key("A", 0, "minor"),
        events=events(
            ("1/2", note(3, 5)),
            ("1/2", note(3, 7, "hammer")),
            ("1/2", note(3, 5, "pull")),
            ("1/2", note(3, 7, "bend:2")),
            ("5/2", note(2, 5, "vibrato"), note(1, 5)),
        ),
        harmonies=(Harmony(ZERO, "Am7"), Harmony(Fraction(2), "D7(#9)/F#")),
        words=(Words(Fraction(1), "V"),),
        section="A",
        tempo=Tempo(Fraction(80), Fraction(3, 2)),
    ),
    Bar(
        2,
        key=Key("A", 0, "minor"),
        events=events(
            ("1", note(1, 5, tied=True)),
            ("1", dead(6), dead(5)),
            ("1", note(6, 0, "palm-mute"), note(5, 2, "palm-mute")),
            ("1", note(1, 12, "harmonic")),
        ),
    ),
)

REPEATS = one_part(
    Bar(1, events=events(("1", note(1, 3))), pickup=True),
    Bar(2, events=events(("4", note(1, 5))), repeat_start=True),
    Bar(3, events=events(("4", note(1, 7))), endings=(1, 2), repeat_times=3),
    Bar(4, events=events(("4", note(1, 8))), endings=(3,)),
    Bar(5, time=TimeSignature(6, 8), events=events(("3/2", note(2, 1)), ("3/2", note(2, 3)))),
    Bar(6, time=TimeSignature(6, 8)),
)

VOICES = one_part(
    Bar(
        1,
        events=(
            *events(("1/3", note(1, 3, instrument=CAPO)), ("1/3", note(1, 5, instrument=CAPO))),
            Event(Fraction(2, 3), Fraction(1, 3), (note(1, 3, instrument=CAPO),)),
            Event(Fraction(1), ZERO, (note(2, 2, instrument=CAPO),), grace=True),
            *(
                Event(Fraction(1) + onset, Fraction(3) / 4, (note(2, 3, instrument=CAPO),))
                for onset in (ZERO, Fraction(3, 4), Fraction(3, 2), Fraction(9, 4))
            ),
            *events(("2", note(6, 3, instrument=CAPO)), ("2", note(5, 2, instrument=CAPO)), voice=2),
        ),
    ),
    instrument=CAPO,
)

LOW = one_part(
    Bar(1, events=events(("1", note(4, 0, instrument=BASS)), ("3", note(3, 2, instrument=BASS)))),
    instrument=BASS,
)

HIGH = one_part(
    Bar(
        1,
        events=events(("4", *(note(s, f, instrument=UKULELE) for s, f in ((4, 0), (3, 0), (2, 0), (1, 3))))),
    ),
    instrument=UKULELE,
)

TWO_PARTS = Score((*LICK.parts, *LOW.parts), "Two parts", "tabtools")

MELODY = Score(
    (
        Part(
            "Tune",
            GUITAR,
            (
                Bar(
                    1,
                    events=tuple(
                        Event(Fraction(at), Fraction(1), (Note(None, None, spell(60 + at, None)),))
                        for at in range(4)
                    ),
                ),
            ),
        ),
    )
)

SAMPLES = {
    "lick": LICK,
    "repeats": REPEATS,
    "voices": VOICES,
    "low": LOW,
    "high": HIGH,
    "two parts": TWO_PARTS,
    "melody": MELODY,
}
