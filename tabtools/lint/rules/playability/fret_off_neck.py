"""A fret lies beyond the end of the neck."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.places import element_within, notes, span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.score import Instrument, Note

BAD = """\
Tuning: standard

e|-12----27-----15-|
B|-----------------|
G|-----------------|
D|-----------------|
A|-----------------|
E|-----------------|
"""


def _check(view: View) -> Iterable[Finding]:
    for part, bar, event, note in notes(view.score):
        if note.fret is not None and note.fret + part.instrument.capo > part.instrument.frets:
            span = element_within(view, span_of(note, event, bar), "fret")
            yield RULE.finding(_message(part.instrument, note), span, bar=bar.number)


def _message(instrument: Instrument, note: Note) -> str:
    sounds = f" would sound {note.pitch.name}" if note.pitch else ""
    last = instrument.frets - instrument.capo
    capo = f", counted from the capo at {instrument.capo}" if instrument.capo else ""
    elsewhere = ", or play the note on a higher string" if note.string != 1 else ""
    return (
        f"fret {note.fret} on string {note.string}{sounds} and is off the neck, whose last fret is "
        f"{last}{capo}: correct the number{elsewhere}"
    )


RULE = Rule(
    name="fret-off-neck",
    group="playability",
    severity=Severity.ERROR,
    what="A fret lies beyond the last fret of the neck.",
    why=(
        "There is nothing to press there, so the number is a slip: two frets that ran together, or a digit "
        "too many. With a capo the neck is shorter by the capo's fret."
    ),
    bad=BAD,
    good=BAD.replace("27", "17"),
    check=_check,
)
