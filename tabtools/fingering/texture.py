"""Which profile suits a part, by what it asks of the hand and by its instrument."""

from __future__ import annotations

from tabtools.record import NamedTuple
from tabtools.score import Part
from tabtools.timeline import moments

_STRINGS = 6
_CLASSICAL = ("classical", "nylon", "spanish")
_CHORDS = 0.25  # share of moments with three notes or more, from which on a part is one of chords
_VOICES = 0.2  # share of moments at which a note of another length sounds on, from which on it has voices


class Suited(NamedTuple):
    """The name of a profile and why it was chosen, in a few words."""

    profile: str
    why: str


def suited(part: Part) -> Suited:
    """The profile for a part whose player named none: lead for single notes and double stops, classical for
    several voices or a classical guitar, neutral for chords and other instruments."""
    name = f"{part.name} {part.instrument.name}".lower()
    if len(part.instrument.tuning) != _STRINGS:
        return Suited("neutral", "no guitar of six strings")
    if any(word in name for word in _CLASSICAL):
        return Suited("classical", "a classical guitar")
    struck = [moment for moment in moments(part) if moment.struck and not moment.grace]
    chords = sum(len(moment.struck) > 2 for moment in struck)
    voices = sum(any(sound.end > moment.start for sound in moment.held) for moment in struck)
    if voices > _VOICES * len(struck):
        return Suited("classical", "several voices")
    if chords > _CHORDS * len(struck):
        return Suited("neutral", "chords")
    return Suited("lead", "single notes")
