"""A form or a position is written over notes that come from another one."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.places import span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.score import Bar, Part, Words

if TYPE_CHECKING:
    from tabtools.forms.naming import Segment
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
    for number, part in enumerate(view.score.parts):
        words = [(bar, words) for bar in part.bars for words in bar.words]
        if words and part.instrument.tuning:
            yield from _check_part(view, number, part, words)


def _check_part(
    view: View, number: int, part: Part, written: Sequence[tuple[Bar, Words]]
) -> Iterable[Finding]:
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
    from tabtools.forms.naming import name_forms

    segments = [segment for segment in view.stage(name_forms) if segment.part == number]
    for bar, words, label in labels:
        segment = _first(segments, bar, words)
        if segment and segment.confidence >= _SURE and not fits(label, segment, on):
            yield RULE.finding(_message(words, segment), words.span or span_of(bar), bar=bar.number)


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


def _first(segments: list[Segment], bar: Bar, words: Words) -> Segment | None:
    """The named segment that begins with the words, or the first one after them in their bar."""
    for segment in segments:
        first = segment.notes[0]
        begins = first.bar.number == bar.number and first.event.onset >= words.onset
        if begins and segment.reading is not None:
            return segment
    return None


def _message(words: Words, segment: Segment) -> str:
    from tabtools.forms.words import ordinal, reading_words

    assert segment.reading is not None
    low, high = segment.position
    notes = " ".join(f"{named.note.string}:{named.note.fret}" for named in segment.notes[:6])
    more = " …" if len(segment.notes) > 6 else ""
    frets = f"fret {low}" if low == high else f"frets {low} to {high}"
    barre = segment.reading.barre_fret
    also = f" (barre at the {ordinal(barre)} fret)" if barre != segment.reading.anchor_fret else ""
    return (
        f"it says “{words.text}”, but the notes that follow ({notes}{more}, {frets}) are the "
        f"{reading_words(segment.reading)}{also}, of {segment.reading.symbol}: correct the words or the frets"
    )


RULE = Rule(
    name="form-label-wrong",
    group="harmony",
    severity=Severity.WARNING,
    what="A form or a position is written over notes that come from another one.",
    why=(
        "A student who puts the hand where the words say does not find the notes there. A position may be "
        "that of the anchor fret, which takes the place of the nut, or that of the barre; only notes that "
        "leave no doubt about their form are held against the words."
    ),
    bad=GOOD.replace("E form, 3rd", "D form, 7th"),
    good=GOOD,
    check=_check,
)
