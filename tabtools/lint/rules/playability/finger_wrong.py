"""A finger number that the hand cannot use at its fret."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.places import span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.record import NamedTuple
from tabtools.score import Bar, Event, Note
from tabtools.timeline import pressed_at

BAD = """\
Key: A major
Time: 4/4

e|---------------4-|-5---4-----------|
B|---------5-7-----|-------7-5-------|
G|---4-6-----------|-----------6-4---|
D|-7---------------|---------------7-|
A|-----------------|-----------------|
E|-----------------|-----------------|
   4 1 3   2 3   1   2   1 4 2 3 1 4 <- fingers
"""
_FEWEST = 3
_FINGERS = ("1", "2", "3", "4")


class _Fingered(NamedTuple):
    """A note with its finger."""

    bar: Bar
    event: Event
    note: Note
    fret: int
    finger: int

    @property
    def position(self) -> int:
        """The fret of the first finger, if the fingers stand a fret apart."""
        return self.fret - self.finger + 1


def _check(view: View) -> Iterable[Finding]:
    for part in view.score.parts:
        for bar in part.bars:
            instrument = bar.instrument or part.instrument
            notes = [
                _Fingered(bar, event, note, note.fret, int(note.finger))
                for event in bar.events
                for note in event.notes
                if note.finger in _FINGERS and note.fret and pressed_at(note, instrument)
            ]
            yield from _crossed(notes)
            yield from _out_of_position(notes)


def _crossed(notes: Sequence[_Fingered]) -> Iterator[Finding]:
    """Two notes struck together whose fingers cross: the higher finger at the lower fret."""
    for index, one in enumerate(notes):
        for other in notes[index + 1 :]:
            low, high = sorted((one, other), key=lambda fingered: fingered.fret)
            if one.event is other.event and low.fret < high.fret and low.finger >= high.finger:
                yield _finding(
                    high,
                    f"finger {low.finger} at fret {low.fret} and finger {high.finger} at fret {high.fret} "
                    "would cross: the higher fret takes the higher finger",
                )


def _out_of_position(notes: Sequence[_Fingered]) -> Iterator[Finding]:
    """One finger that leaves the position which all the others of its bar share."""
    positions = Counter(fingered.position for fingered in notes)
    if len(notes) < _FEWEST or len(positions) < 2:
        return
    position, count = positions.most_common(1)[0]
    odd = [fingered for fingered in notes if fingered.position != position]
    if 3 * len(odd) > len(notes) or count < 2:
        return
    for fingered in odd:
        right = fingered.fret - position + 1
        # A finger stretched by one fret at either end of the hand is usual.
        stretched = (fingered.finger, right) in ((1, 0), (4, 5))
        if 1 <= right <= 4 and not stretched:
            yield _finding(
                fingered,
                f"finger {fingered.finger} is written at fret {fingered.fret}, where the hand in position "
                f"{position}, as the other {count} fingers of the bar have it, puts finger {right}: correct "
                "one",
            )


def _finding(fingered: _Fingered, message: str) -> Finding:
    span = span_of(fingered.note, fingered.event, fingered.bar)
    return RULE.finding(message, span, bar=fingered.bar.number)


RULE = Rule(
    name="finger-wrong",
    group="playability",
    severity=Severity.WARNING,
    what="A finger number does not go with the fret and the other fingers.",
    why=(
        "A student trusts the numbers more than the hand. In one position each finger has its own fret, so a "
        "number that alone asks for another position is mostly mistyped, and fingers that cross are."
    ),
    bad=BAD,
    good=BAD.replace("2 3   1", "2 4   1"),
    check=_check,
)
