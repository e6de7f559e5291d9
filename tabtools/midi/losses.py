"""What of a score a MIDI file can't hold, in words for the user."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from tabtools.midi.bending import curve
from tabtools.midi.channels import seats
from tabtools.midi.performance import perform
from tabtools.score import Score

# Techniques that are heard in the file; the others are not.
_HEARD = {
    *("hammer", "pull", "slide", "slide-in", "slide-out", "tap", "ghost", "palm-mute", "let-ring", "tie"),
    *("bend", "bend-release", "prebend", "prebend-release", "trill", "vibrato", "grace"),
    *("harmonic", "artificial", "dead"),
}


def midi_losses(score: Score) -> tuple[str, ...]:
    """Each kind of thing that is left out of the score's MIDI file, with its number."""
    counts = Counter(_left_out(score))
    return tuple(f"{number} {thing}{'s' if number > 1 else ''}" for thing, number in counts.items())


def _left_out(score: Score) -> Iterator[str]:
    for part in score.parts:
        for bar in part.bars:
            yield from ("chord symbol" for _ in bar.harmonies)
            yield from ("remark" for _ in bar.words)
            for note in (note for event in bar.events for note in event.notes):
                if note.pitch is None or note.has("dead"):
                    yield "dead note"
                yield from (f"{t.name} mark" for t in note.techniques if t.name not in _HEARD)
    yield from _unbent(score)


def _unbent(score: Score) -> Iterator[str]:
    performed = [(part.instrument, perform(part)) for part in score.parts]
    for (_, tones), seat in zip(performed, seats(performed), strict=True):
        if not seat.bends:
            yield from ("bend or slide that lacks a channel of its own" for tone in tones if curve(tone))
