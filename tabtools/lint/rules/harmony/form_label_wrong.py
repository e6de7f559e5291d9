"""A form or a position is written over notes that come from another one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence, Set
from itertools import groupby
from typing import TYPE_CHECKING

from tabtools.instrument import above_shapes
from tabtools.lint.finding import Finding, Severity
from tabtools.lint.places import span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.score import Bar, Part, Words

if TYPE_CHECKING:
    from tabtools.forms.naming import Named
    from tabtools.forms.segments import Segment
    from tabtools.forms.written import Label

    _Placed = tuple[Bar, Words, Label]

GOOD = """\
Tuning: standard
Key: G major

   E form, 3rd position
   G
   q   q   q   q
e|-----------------|
B|-------------3---|
G|---------4-------|
D|-----5-----------|
A|-----------------|
E|-3---------------|
"""
_SURE = 0.7  # below this confidence the notes contradict nothing


def _check(view: View) -> Iterable[Finding]:
    for part in view.score.parts:
        words = [(bar, words) for bar in part.bars for words in bar.words]
        if words and part.instrument.tuning:
            yield from _check_part(part, words)


def _check_part(part: Part, written: Sequence[tuple[Bar, Words]]) -> Iterable[Finding]:
    from tabtools.forms.written import parse_label

    labels = [(bar, words, label) for bar, words in written if (label := parse_label(words.text))]
    if not labels:
        return
    from tabtools.forms.neck import neck
    from tabtools.forms.plain import plainly_fits

    on = neck(part.instrument)
    labels = [item for item in labels if not plainly_fits(item[2], _under(labels, item), on)]
    if not labels:
        return
    # Few pages come here, and this is not quick to load.
    from tabtools.forms.labels import fits
    from tabtools.forms.naming import outline

    around = passages(part, {bar.number for bar, _, _ in labels})
    line = [named for bars in around for named in outline(part._replace(bars=bars))]
    for bar, words, label in labels:
        segment = _first(line, bar, words)
        if segment and segment.confidence >= _SURE and not fits(label, segment, on):
            yield RULE.finding(_message(words, segment), words.span or span_of(bar), bar=bar.number)


def passages(part: Part, numbers: Set[int]) -> Iterator[tuple[Bar, ...]]:
    """The bars with these numbers and their neighbours, from where the chord in force is written on.

    With a capo the whole part counts: it tells whether chords and keys are those of the shapes.
    """
    bars = part.bars
    if above_shapes(part.instrument):
        yield bars
        return
    chords = any(bar.harmonies for bar in bars)
    needed: set[int] = set()
    for at in (at for at, bar in enumerate(bars) if bar.number in numbers):
        first = max(at - 1, 0)
        while chords and first and first not in needed and not _names_chord(bars[first]):
            first -= 1
        needed.update(range(first, min(at + 2, len(bars))))
    for _, run in groupby(enumerate(sorted(needed)), key=lambda item: item[1] - item[0]):
        yield tuple(bars[index] for _, index in run)


def _names_chord(bar: Bar) -> bool:
    """Whether the chord at the beginning of a bar is written there."""
    return any(not harmony.onset for harmony in bar.harmonies)


def _under(labels: Sequence[_Placed], own: _Placed) -> list[tuple[int, int]]:
    """String and fret of the notes from a label to the end of its bar, or to the next label in it."""
    bar, words, _ = own
    onsets = [other.onset for b, other, _ in labels if b is bar and other.onset > words.onset]
    end = min(onsets, default=bar.length)
    return [
        (note.string, note.fret)
        for event in bar.events
        if words.onset <= event.onset < end
        for note in event.notes
        if note.string is not None and note.fret is not None
    ]


def _first(line: Sequence[Named], bar: Bar, words: Words) -> Segment | None:
    """The named segment that begins with the words, or the first one after them in their bar."""
    for named in line:
        if named.reads and named.bar.number == bar.number and named.event.onset >= words.onset:
            return named.segment
    return None


def _message(words: Words, segment: Segment) -> str:
    from tabtools.forms.words import reading_words

    assert segment.reading is not None
    low, high = segment.frets
    notes = " ".join(f"{named.note.string}:{named.note.fret}" for named in segment.notes[:6])
    more = " …" if len(segment.notes) > 6 else ""
    frets = f"fret {low}" if low == high else f"frets {low} to {high}"
    reading = reading_words(segment.reading, segment.position)
    return (
        f"it says “{words.text}”, but the notes that follow ({notes}{more}, {frets}) are the "
        f"{reading}, of {segment.reading.symbol}: correct the words or the frets"
    )


RULE = Rule(
    name="form-label-wrong",
    group="harmony",
    severity=Severity.WARNING,
    what="A form or a position is written over notes that come from another one.",
    why=(
        "A student who puts the hand where the words say does not find the notes there. The position is the "
        "fret of the first finger; that of the anchor fret, which takes the place of the nut, is taken too. "
        "Only notes that leave no doubt about their form are held against the words."
    ),
    bad=GOOD.replace("E form, 3rd", "D form, 7th"),
    good=GOOD,
    check=_check,
)
