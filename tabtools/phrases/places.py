"""Where the notes of a phrase may go on a neck, by what each is played with."""

from __future__ import annotations

from tabtools.fingering.neck import Place
from tabtools.record import NamedTuple
from tabtools.score import Instrument, Note
from tabtools.techniques import BENDS

# Where a natural harmonic rings clearly, by the open string's halves, thirds, quarters and fifths.
NODES = frozenset((4, 5, 7, 9, 12, 16, 19, 24))
# A pinch harmonic speaks where the pick can touch a node of what is left of the string. Common practice, no
# source.
_PINCH = range(2, 18)
_PRESSED = frozenset((*BENDS, "vibrato", "tap", "trill", "hammer", "slide", "artificial", "pinch"))


class Window(NamedTuple):
    """The frets from the capo that the hand reaches in one place; open strings lie outside."""

    low: int
    high: int

    def holds(self, fret: int) -> bool:
        """Whether a fret is within reach."""
        return self.low <= fret <= self.high


def stay(note: Note, midi: int, instrument: Instrument) -> Place | None:
    """Where a note with a new pitch lies on the string that it has; None below the nut or off the neck."""
    if note.string is None or note.string > len(instrument.tuning):
        return None
    fret = midi - instrument.midi(note.string, 0)
    return (note.string, fret) if 0 <= fret <= instrument.frets - instrument.capo else None


def places(note: Note, midi: int, instrument: Instrument, window: Window | None = None) -> list[Place]:
    """Every place of a pitch that suits how its note is played, string 1 first.

    ``window`` limits the frets; a note that was open may stay open outside it. A bend, a vibrato, a hammered
    note or the end of a slide is none of an open string, a natural harmonic keeps its node, and a pinch
    harmonic the stretch of the string where it speaks.
    """
    last = instrument.frets - instrument.capo
    found = []
    for string in range(1, len(instrument.tuning) + 1):
        fret = midi - instrument.midi(string, 0)
        if 0 <= fret <= last and suits(note, fret) and (window is None or _within(note, fret, window)):
            found.append((string, fret))
    return found


def suits(note: Note, fret: int) -> bool:
    """Whether a note can be played at a fret with the techniques that it has."""
    if note.has("harmonic"):
        return fret == note.fret
    if fret == 0 and any(technique.name in _PRESSED for technique in note.techniques):
        return False
    return not note.has("pinch") or fret in _PINCH or note.fret not in _PINCH


def _within(note: Note, fret: int, window: Window) -> bool:
    return (
        window.holds(fret) or (fret == 0 and note.fret == 0) or (note.has("harmonic") and fret == note.fret)
    )
