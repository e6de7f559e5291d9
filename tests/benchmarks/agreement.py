"""Whether we read from a file what music21 reads: bar, onset, length and pitch of every note, part by part.

Where the two differ, the file itself says why; a difference without a reason is printed as such.
"""

from __future__ import annotations

import warnings
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any, NamedTuple

from lxml import etree

from tabtools.musicxml.reader import read_musicxml
from tabtools.score import Part

# music21 keeps lengths that are no binary fraction as floats; no file counts in finer units than these.
_FINEST = 65535
_SHARP = {"sharp": 1, "flat": -1, "natural": 0, "double-sharp": 2, "flat-flat": -2}


class Sound(NamedTuple):
    """One note: bar counted from 0, onset and length in quarter notes, MIDI number (None: no pitch)."""

    bar: int
    onset: Fraction
    length: Fraction
    midi: float | None

    def __str__(self) -> str:
        return f"bar {self.bar + 1} at {self.onset}: {self.midi} for {self.length}"


class Difference(NamedTuple):
    """What only one of the two readers has, in a part of a file, and why."""

    file: str
    part: int
    reader: str
    sound: Sound
    reason: str


def ours(part: Part) -> Counter[Sound]:
    """What we read of a part; the notes of an event share its length."""
    return Counter(
        Sound(place, event.onset, event.duration, float(note.pitch.midi) if note.pitch else None)
        for place, bar in enumerate(part.bars)
        for event in bar.events
        for note in event.notes
    )


def theirs(path: Path) -> list[Counter[Sound]]:
    """What music21 reads of each part, as it sounds; the staves of a part are put together again."""
    import music21

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        score = music21.converter.parse(str(path), forceSource=True, storePickle=False)
        if any(i.transposition for i in score.recurse().getElementsByClass("Instrument")):
            score = score.toSoundingPitch()
    parts: list[Counter[Sound]] = []
    for part in score.parts:
        follows = "PartStaff" in part.classes and not str(part.id).endswith("-Staff1")
        if not follows:
            parts.append(Counter())
        parts[-1].update(_sounds(part))
    return parts


def _sounds(part: Any) -> Iterator[Sound]:
    for place, measure in enumerate(part.getElementsByClass("Measure")):
        for struck in measure.recurse().notes:
            if "Harmony" in struck.classes:
                continue
            onset = _exact(struck.getOffsetInHierarchy(measure))
            length = _exact(struck.duration.quarterLength)
            for note in struck.notes if "ChordBase" in struck.classes else [struck]:
                pitched = hasattr(note, "pitch")
                yield Sound(place, onset, length, float(note.pitch.ps) if pitched else None)


def _exact(number: float | Fraction) -> Fraction:
    return Fraction(number).limit_denominator(_FINEST)


def compare(path: Path, name: str) -> tuple[int, list[Difference]]:
    """The number of notes that music21 reads, and the differences. Raises what either reader raises."""
    document = read_musicxml(name, path.read_bytes())
    assert document.tree is not None
    parts = document.tree.getroot().findall("part")
    there = theirs(path)
    here = [ours(part) for part in document.score.parts]
    found = []
    for number, (element, mine, other) in enumerate(zip(parts, here, there, strict=True), 1):
        for reader, only in (("tabtools", mine - other), ("music21", other - mine)):
            for sound, count in only.items():
                reason = _reason(element.findall("measure")[sound.bar])
                found += [Difference(name, number, reader, sound, reason)] * count
    return sum(sum(part.values()) for part in there), found


def _reason(measure: etree._Element) -> str:
    """Why two readers may differ about a bar, from what stands in it."""
    if measure.find("note/cue") is not None:
        return "cue note: another part plays it, so we leave it out"
    for note in measure.iterfind("note"):
        alter = note.findtext("pitch/alter") or "0"
        sign = note.find("accidental")
        if sign is not None and _SHARP.get(sign.text or "", float(alter)) != float(alter):
            return "the sign printed is not the alter: the standard says that alter is the pitch, as we read"
        if note.findtext("notehead") == "x":
            return "head shaped x: a damped note, which has no pitch"
        if note.find("notations/technical/harmonic") is not None:
            return "harmonic: of its three pitches we keep the one that is touched"
        if not float(alter).is_integer():
            return "quarter tone: no fret has it, so we round it to a semitone"
    if measure.find("attributes/staff-details[staff-type='alternate']") is not None:
        return "alternate staff: the same notes once more, which we read once"
    return "no reason found"
