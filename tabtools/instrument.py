"""Instruments: the one table of tunings, and the geometry of the neck in millimetres."""

from __future__ import annotations

import math
import re
from functools import lru_cache

from tabtools.record import NamedTuple
from tabtools.score import Instrument, Pitch

# Distance between neighbouring strings. The nut value follows from a measured outer width of 1.442 in
# over six strings; the bridge value is common practice, no source.
NUT_SPACING = 7.2
BRIDGE_SPACING = 10.5


def _strings(low_to_high: str) -> tuple[Pitch, ...]:
    return tuple(Pitch.from_name(name) for name in reversed(low_to_high.split()))


class Tuning(NamedTuple):
    """A row of the table: instrument, the words that name the tuning, open strings with string 1 first."""

    instrument: str
    names: tuple[str, ...]
    strings: tuple[Pitch, ...]


_HALF_DOWN = (
    *("half step down", "half a step down", "1/2 step down", "down a half step", "down half a step"),
    *("halbton tiefer", "medio tono abajo", "demi ton plus bas", "mezzo tono sotto", "meio tom abaixo"),
    *("down 1/2 step", "a semitone down", "down a semitone", "eb", "eb standard", "half tone down"),
)
_WHOLE_DOWN = (
    *("whole step down", "full step down", "a step down", "down a whole step", "down a full step"),
    *("down one step", "down a tone", "a tone down", "d standard"),
)

# Written from the last string to string 1, as players say them. Common practice, no source.
TUNINGS = tuple(
    Tuning(instrument, names, _strings(strings))
    for instrument, names, strings in (
        ("Guitar", ("standard", "std", "normal tuning"), "E2 A2 D3 G3 B3 E4"),
        ("Guitar", ("drop d", "dropped d"), "D2 A2 D3 G3 B3 E4"),
        ("Guitar", ("double drop d",), "D2 A2 D3 G3 B3 D4"),
        ("Guitar", ("dadgad",), "D2 A2 D3 G3 A3 D4"),
        ("Guitar", ("open d",), "D2 A2 D3 F#3 A3 D4"),
        ("Guitar", ("open g",), "D2 G2 D3 G3 B3 D4"),
        ("Guitar", ("open e",), "E2 B2 E3 G#3 B3 E4"),
        ("Guitar", ("open a",), "E2 A2 E3 A3 C#4 E4"),
        ("Guitar", ("open c",), "C2 G2 C3 G3 C4 E4"),
        ("Guitar", ("drop c",), "C2 G2 C3 F3 A3 D4"),
        ("Guitar", _HALF_DOWN, "Eb2 Ab2 Db3 Gb3 Bb3 Eb4"),
        ("Guitar", _WHOLE_DOWN, "D2 G2 C3 F3 A3 D4"),
        ("Guitar", ("drop c#", "drop db"), "C#2 G#2 C#3 F#3 A#3 D#4"),
        ("Guitar", ("drop b",), "B1 F#2 B2 E3 G#3 C#4"),
        ("Guitar", ("open d minor",), "D2 A2 D3 F3 A3 D4"),
        ("Guitar", ("open g minor",), "D2 G2 D3 G3 Bb3 D4"),
        ("Guitar", ("open e minor",), "E2 B2 E3 G3 B3 E4"),
        ("Guitar", ("all fourths",), "E2 A2 D3 G3 C4 F4"),
        ("Guitar", ("nashville",), "E3 A3 D4 G4 B3 E4"),
        ("Seven-string guitar", ("standard",), "B1 E2 A2 D3 G3 B3 E4"),
        ("Seven-string guitar", ("drop a",), "A1 E2 A2 D3 G3 B3 E4"),
        ("Eight-string guitar", ("standard",), "F#1 B1 E2 A2 D3 G3 B3 E4"),
        ("Bass", ("standard",), "E1 A1 D2 G2"),
        ("Bass", ("drop d", "dropped d"), "D1 A1 D2 G2"),
        ("Five-string bass", ("standard",), "B0 E1 A1 D2 G2"),
        ("Six-string bass", ("standard",), "B0 E1 A1 D2 G2 C3"),
        ("Ukulele", ("standard", "high g", "gcea"), "G4 C4 E4 A4"),
        ("Ukulele", ("low g", "linear"), "G3 C4 E4 A4"),
        ("Ukulele", ("d tuning", "english tuning"), "A4 D4 F#4 B4"),
        ("Baritone ukulele", ("standard",), "D3 G3 B3 E4"),
        ("Banjo", ("open g", "standard"), "G4 D3 G3 B3 D4"),
        ("Banjo", ("double c",), "G4 C3 G3 C4 D4"),
        ("Banjo", ("c tuning", "drop c"), "G4 C3 G3 B3 D4"),
        ("Banjo", ("g modal", "sawmill", "mountain minor"), "G4 D3 G3 C4 D4"),
        ("Mandolin", ("standard",), "G3 D4 A4 E5"),
        ("Tenor guitar", ("standard",), "C3 G3 D4 A4"),
    )
)

# What players call an instrument, in several languages; a longer name comes before one that it holds.
INSTRUMENTS = {
    "baritone ukulele": "Baritone ukulele",
    "ukulele": "Ukulele",
    "ukelele": "Ukulele",
    "uke": "Ukulele",
    "banjo": "Banjo",
    "mandolin": "Mandolin",
    "mandolina": "Mandolin",
    "bandolim": "Mandolin",
    "tenor guitar": "Tenor guitar",
    "bass": "Bass",
    "bass guitar": "Bass",
    "bajo": "Bass",
    "baixo": "Bass",
    "basse": "Bass",
    "basso": "Bass",
    "guitar": "Guitar",
    "guitarra": "Guitar",
    "gitarre": "Guitar",
    "guitare": "Guitar",
    "chitarra": "Guitar",
}


def instrument_named(text: str, *, whole: bool = False) -> str | None:
    """The instrument of the table that a text names: anywhere in it, or as all that it says."""
    lower = text.lower().replace("-", " ").strip(" .,:;()")
    rows = {row.instrument.lower().replace("-", " "): row.instrument for row in reversed(TUNINGS)}
    for word, name in (INSTRUMENTS if lower not in rows else rows).items():
        if lower == word or (not whole and re.search(rf"\b{word}\b", lower)):
            return name
    return None


# Of the strings between nut and bridge, in mm, where it is not the guitar's. Usual lengths that makers give
# (bass 34 in, concert ukulele 15 in, baritone 20 in, mandolin 13 7/8 in, banjo 26 1/4 in, tenor guitar
# 23 in), from memory; common practice, no source.
_SCALE_LENGTHS = {
    "Bass": 864.0,
    "Five-string bass": 864.0,
    "Six-string bass": 864.0,
    "Ukulele": 381.0,
    "Baritone ukulele": 508.0,
    "Banjo": 667.0,
    "Mandolin": 352.0,
    "Tenor guitar": 584.0,
}


def usual_scale_length(instrument: Instrument) -> float:
    """The scale length in mm of instruments of that name; the instrument's own for names not in the table."""
    return _SCALE_LENGTHS.get(instrument.name, instrument.scale_length)


def tuned_down(tuning: Tuning) -> int:
    """By how many semitones all strings of a tuning lie apart from the standard guitar's, downwards negative;
    0 for other tunings."""
    standard = TUNINGS[0].strings
    if len(tuning.strings) != len(standard):
        return 0
    steps = {pitch.midi - usual.midi for pitch, usual in zip(tuning.strings, standard, strict=True)}
    return steps.pop() if len(steps) == 1 else 0


def instrument_from(tuning: Tuning, capo: int = 0) -> Instrument:
    """The instrument of a row of the table."""
    return Instrument(tuning.instrument, tuning.strings, capo)


GUITAR = instrument_from(TUNINGS[0])
# Shapes keep their names in these, however far all strings together are tuned up or down. Common practice, no
# source.
_NAMING_SHAPES = ("standard", "drop d")
_FARTHEST = 5  # semitones; farther off it is another instrument


def above_shapes(instrument: Instrument) -> int:
    """By how many semitones a grip sounds above the chord that it is named after.

    That is the capo, and what all strings together are tuned away from standard tuning or drop D. Who
    writes chords or a key over tab may mean the sound or the shapes.
    """
    midis = tuple(pitch.midi for pitch in instrument.tuning)
    return instrument.capo + _tuned_away(midis)


@lru_cache(maxsize=64)
def _tuned_away(midis: tuple[int, ...]) -> int:
    for row in TUNINGS:
        if len(row.strings) == len(midis) and any(name in row.names for name in _NAMING_SHAPES):
            away = {midi - pitch.midi for midi, pitch in zip(midis, row.strings, strict=True)}
            if len(away) == 1 and abs(min(away)) <= _FARTHEST:
                return away.pop()
    return 0


_HIGHEST_PARTIAL = 6  # up to which a harmonic rings clearly; common practice, no source
# A string that is touched at k/n of its length sounds its n-th partial; that point lies at the fret
# 12 log2(n / (n - k)), from the equal-tempered fret's L (1 - 2^(-f/12)). Fret and partial, in order.
HARMONIC_NODES = tuple(
    sorted(
        (12 * math.log2(n / (n - k)), n)
        for n in range(2, _HIGHEST_PARTIAL + 1)
        for k in range(1, n)
        if math.gcd(k, n) == 1
    )
)
NEAR_NODE = 0.5  # frets: a number stands for the node that rounds to it


def heard_harmonic(fret: float) -> int | None:
    """By how many semitones the natural harmonic that is touched at a fret sounds above its open string.

    None where no node is near. The partials are those of the overtone series: 12, 19, 24, 28 and 31
    semitones, rounded to equal temperament.
    """
    distance, partial = min((abs(node - fret), partial) for node, partial in HARMONIC_NODES)
    return round(12 * math.log2(partial)) if distance <= NEAR_NODE else None


def fret_wire(scale_length: float, fret: float) -> float:
    """Distance in mm from the nut to a fret wire: L (1 - 2^(-n/12)), by equal temperament."""
    return scale_length * (1.0 - math.pow(2.0, -fret / 12.0))


def string_spacing(scale_length: float, from_nut: float) -> float:
    """Distance in mm between neighbouring strings at ``from_nut`` mm from the nut."""
    return NUT_SPACING + (BRIDGE_SPACING - NUT_SPACING) * from_nut / scale_length


def contact_point(instrument: Instrument, string: int, fret: int) -> tuple[float, float]:
    """Where a fingertip presses, in mm: along the neck from the nut, and across it from the middle.

    Three quarters of the way from one fret wire to the next (common practice, no source). ``fret`` counts
    from the capo and is 1 or more.
    """
    absolute = fret + instrument.capo
    before = fret_wire(instrument.scale_length, absolute - 1)
    x = before + 0.75 * (fret_wire(instrument.scale_length, absolute) - before)
    middle = (len(instrument.tuning) + 1) / 2
    return x, (string - middle) * string_spacing(instrument.scale_length, x)
