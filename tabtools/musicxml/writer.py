"""A score as MusicXML 4.0: a notation staff and, where the notes have strings, a tab staff below it.

Sounding pitches under an octave clef, so no reader has to transpose. One line of text for each note.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import lcm

from tabtools.musicxml.writing.accidentals import accidentals
from tabtools.musicxml.writing.attributes import (
    changed_attributes,
    first_attributes,
    left_barline,
    right_barline,
)
from tabtools.musicxml.writing.fragment import Fragment, tag
from tabtools.musicxml.writing.links import links
from tabtools.musicxml.writing.measures import Layout, music
from tabtools.musicxml.writing.notes import Setting, Staff
from tabtools.musicxml.writing.rhythm import Lane, lanes
from tabtools.score import ZERO, Bar, Part, Quarters, Score
from tabtools.source import UnreadableError

_PROLOG = (
    '<?xml version="1.0" encoding="UTF-8" standalone="no"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN"'
    ' "http://www.musicxml.org/dtds/partwise.dtd">\n'
)
# Sound and General MIDI program (from 1) by the word that an instrument's name ends with; from memory.
_SOUNDS = {
    "guitar": ("pluck.guitar", 26),
    "bass": ("pluck.bass", 34),
    "ukulele": ("pluck.ukulele", 25),
    "banjo": ("pluck.banjo", 106),
    "mandolin": ("pluck.mandolin", 26),
}
# The least shift of the voice numbers on the tab staff; readers expect four voices a staff.
_VOICES_A_STAFF = 4
_NUMBERS_A_STAFF = 8
_HIGHEST_OCTAVE = 9

_Lanes = tuple[Lane, ...]


def write_musicxml(score: Score, *, ids: bool = False) -> bytes:
    """The score as an uncompressed MusicXML 4.0 file in UTF-8.

    The same score gives the same bytes. With ``ids``, every note of a notation staff has an id that says
    where it stands: ``n`` with part, bar, event and note, each counted from 0, as in ``n0.3.5.0``. Raises
    UnreadableError for a pitch that MusicXML can't hold, and ValueError for a key in a mode that has no
    signature.
    """
    _check_octaves(score)
    planned = [
        [lanes(bar, ZERO if at else _missing(bar)) for at, bar in enumerate(part.bars)]
        for part in score.parts
    ]
    divisions = lcm(*_denominators(score, planned))
    lines = ['<score-partwise version="4.0">', *(f"  {line}" for line in _header(score))]
    for number, (part, bars) in enumerate(zip(score.parts, planned, strict=True), 1):
        names = f"n{number - 1}" if ids else None
        lines += (f'  <part id="P{number}">', *_part(part, bars, divisions, names), "  </part>")
    return (_PROLOG + "\n".join([*lines, "</score-partwise>", ""])).encode()


def _missing(bar: Bar) -> Quarters:
    """What a first bar lacks if it is a pick-up, which stands at its metre's end."""
    return max(ZERO, bar.time.length - bar.length) if bar.pickup else ZERO


def _check_octaves(score: Score) -> None:
    """MusicXML has the octaves 0 to 9 (its data type ``octave``); a fret far off the neck sounds above."""
    for part in score.parts:
        for bar in part.bars:
            for note in (note for event in bar.events for note in event.notes):
                if note.pitch is not None and not 0 <= note.pitch.octave <= _HIGHEST_OCTAVE:
                    raise UnreadableError(
                        f"bar {bar.number}: fret {note.fret} on string {note.string} would sound "
                        f"{note.pitch.name}, and MusicXML has no octave below 0 or above 9: correct the fret"
                    )


def _denominators(score: Score, planned: list[list[_Lanes]]) -> set[int]:
    """The denominators of every place and length in the score."""
    pieces = (piece for bars in planned for bar in bars for lane in bar for piece in lane.pieces)
    found = {number.denominator for piece in pieces for number in (piece.onset, piece.value.duration)}
    for bar in (bar for part in score.parts for bar in part.bars):
        found.update(harmony.onset.denominator for harmony in bar.harmonies)
        found.update(words.onset.denominator for words in bar.words)
    return found


def _header(score: Score) -> Iterator[str]:
    if score.title:
        yield tag("work", tag("work-title", score.title)).xml
    encoding = [tag("software", "tabtools")]
    for element, kind in (("accidental", "yes"), ("beam", "yes"), ("print", "no"), ("stem", "no")):
        encoding.append(tag("supports", element=element, type=kind))
    creator = [tag("creator", score.composer, type="composer")] if score.composer else []
    yield tag("identification", *creator, tag("encoding", *encoding)).xml
    yield tag("part-list", *(_score_part(number, part) for number, part in enumerate(score.parts, 1))).xml


def _score_part(number: int, part: Part) -> Fragment:
    name = part.instrument.name
    children = [tag("part-name", part.name)]
    instrument = [tag("instrument-name", name)]
    sound = _SOUNDS.get(name.lower().rpartition(" ")[2].rpartition("-")[2])
    if sound:
        instrument.append(tag("instrument-sound", sound[0]))
        children.append(tag("midi-instrument", tag("midi-program", sound[1]), id=f"P{number}-I1"))
    children.append(tag("score-instrument", *instrument, id=f"P{number}-I1"))
    return tag("score-part", *children, id=f"P{number}")


def _part(part: Part, planned: list[_Lanes], divisions: int, names: str | None) -> Iterator[str]:
    """The measures of a part, line by line; ``names`` is what ids begin with."""
    tab = _has_tab(part)
    layout = Layout(_staves(planned, tab), links(part))
    for place, bar in enumerate(part.bars):
        before = part.bars[place - 1] if place else None
        after = part.bars[place + 1] if place + 1 < len(part.bars) else None
        ids = None if names is None else f"{names}.{place}"
        setting = Setting(bar.instrument or part.instrument, bar.key, divisions, accidentals(bar), ids)
        if before is None:
            attributes: Fragment | None = first_attributes(part, bar, divisions, tab)
        else:
            attributes = changed_attributes(part, bar, before, tab)
        notes = music(place, bar, planned[place], layout, setting)
        content = (left_barline(bar, before), attributes, *notes, right_barline(bar, after))
        yield f"    {_measure_start(bar, part)}"
        yield from (f"      {fragment.xml}" for fragment in content if fragment)
        yield "    </measure>"


def _has_tab(part: Part) -> bool:
    """Whether a part gets a tab staff: not if it is a melody whose notes have no strings."""
    notes = [note for bar in part.bars for event in bar.events for note in event.notes]
    return not notes or any(note.string is not None for note in notes)


def _staves(planned: list[_Lanes], tab: bool) -> tuple[Staff, ...]:
    if not tab:
        return (Staff(None),)
    highest = max((lane.voice for bar in planned for lane in bar), default=1)
    return Staff(1), Staff(2, True, max(_VOICES_A_STAFF, highest), _NUMBERS_A_STAFF)


def _measure_start(bar: Bar, part: Part) -> str:
    """The start tag of a measure. A pickup at the beginning is measure 0."""
    number = bar.label or str(bar.number - part.bars[0].pickup)
    implicit = {"implicit": "yes"} if bar.pickup else {}
    return tag("measure", number=number, **implicit).xml.replace("/>", ">")
