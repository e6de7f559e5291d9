"""Which notes of a bar need an accidental before them, as a reader of standard notation expects."""

from __future__ import annotations

from functools import lru_cache

from tabtools.score import Bar, Key
from tabtools.theory.key import fifths

NAMES = {
    -3: "triple-flat",
    -2: "flat-flat",
    -1: "flat",
    0: "natural",
    1: "sharp",
    2: "double-sharp",
    3: "triple-sharp",
}
_SHARPS = "FCGDAEB"


@lru_cache(maxsize=64)
def signature(key: Key | None) -> dict[str, int]:
    """The alteration in semitones that the key signature gives to each step."""
    count = fifths(key) if key else 0
    order = _SHARPS if count > 0 else _SHARPS[::-1]
    return {step: (1 if count > 0 else -1) * (order.index(step) < abs(count)) for step in _SHARPS}


def accidentals(bar: Bar) -> dict[tuple[int, int], str]:
    """The accidentals of a bar by event and note, counted from 0.

    An accidental holds for its line until the bar line; a note tied over from the bar before needs none and
    changes nothing for those after it. Dead notes have none, their head is a place on the staff and no pitch.
    """
    in_force: dict[tuple[str, int], int] = {}
    shown: dict[tuple[int, int], str] = {}
    in_time = sorted(enumerate(bar.events), key=lambda item: (item[1].onset, not item[1].grace))
    for place, event in in_time:
        for number, note in enumerate(event.notes):
            pitch = note.pitch
            if pitch is None or note.tied or note.has("dead"):
                continue
            line = (pitch.step, pitch.octave)
            if pitch.alter != in_force.get(line, signature(bar.key)[pitch.step]):
                in_force[line] = pitch.alter
                shown[place, number] = NAMES[pitch.alter]
    return shown
