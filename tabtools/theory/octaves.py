"""Moving music by octaves to where an instrument has it."""

from __future__ import annotations

from collections.abc import Iterator

from tabtools.score import Note, Part, Score

_SHIFTS = (0, -1, 1, -2, 2, -3, 3, -4, 4)


def octaves_to_fit(part: Part) -> int:
    """The octaves, up or down, by which most notes come into the instrument's range; the fewest that do.

    The range is from the lowest open string to the last fret of the highest, both above the capo.
    """
    pitches = [note.pitch.midi for note in _notes(part) if note.pitch]
    instrument = part.instrument
    open_strings = [pitch.midi + instrument.capo for pitch in instrument.tuning]
    if not open_strings:
        return 0
    low, high = min(open_strings), max(open_strings) + instrument.frets - instrument.capo

    def outside(shift: int) -> int:
        return sum(not low <= pitch + 12 * shift <= high for pitch in pitches)

    octaves = [note.pitch.octave for note in _notes(part) if note.pitch]
    # Scientific pitch notation as scores have it: octaves 0 to 9.
    lowest, highest = min(octaves, default=0), max(octaves, default=9)
    shifts = [shift for shift in _SHIFTS if shift == 0 or (lowest + shift >= 0 and highest + shift <= 9)]
    return min(shifts, key=lambda shift: (outside(shift), abs(shift)))


def fit_octaves(score: Score) -> Score:
    """The score with every part that has no strings yet moved by whole octaves to fit its instrument."""
    return score._replace(parts=tuple(_fitted(part) for part in score.parts))


def has_strings(part: Part) -> bool:
    """Whether any note of a part has a string."""
    return any(note.string is not None for note in _notes(part))


def _notes(part: Part) -> Iterator[Note]:
    return (note for bar in part.bars for event in bar.events for note in event.notes)


def _fitted(part: Part) -> Part:
    shift = 0 if has_strings(part) else octaves_to_fit(part)
    if not shift:
        return part
    bars = []
    for bar in part.bars:
        events = tuple(
            event._replace(notes=tuple(_moved(note, shift) for note in event.notes)) for event in bar.events
        )
        bars.append(bar._replace(events=events))
    return part._replace(bars=tuple(bars))


def _moved(note: Note, shift: int) -> Note:
    pitch = note.pitch
    return note._replace(pitch=pitch._replace(octave=pitch.octave + shift)) if pitch else note
