"""The notes and chords of a part belong to another key than the one that is written."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby

from tabtools.instrument import above_shapes
from tabtools.lint.finding import Finding, Severity
from tabtools.lint.places import span_of
from tabtools.lint.rule import Rule
from tabtools.lint.tonic import key_told
from tabtools.lint.view import View
from tabtools.score import Bar, Key, Part, Quarters
from tabtools.theory.blues import blue_notes, says_blues
from tabtools.theory.chord import Chord, parse_chord, pitch_classes
from tabtools.theory.inference import key_of, melody
from tabtools.theory.key import pitch_classes as key_pitch_classes
from tabtools.theory.line_of_fifths import pitch_class, place

BAD = """\
Tuning: standard
Key: Db major

   q   q   q   q     q   q   q   q     q   q   q   q     q   q   q   q
e|-3---------------|-----------------|-3---2---3-------|-----------------|
B|-----3---0-------|-3---1---0-------|-------------3---|-1---0-----------|
G|---------------0-|-------------2---|-----------------|---------2---0---|
D|-----------------|-----------------|-----------------|-----------------|
A|-----------------|-----------------|-----------------|-----------------|
E|-----------------|-----------------|-----------------|-----------------|
"""
# A slip or two, a borrowed chord or a blue note must not count: a good part of the notes has to lie outside
# the written key, nearly none outside the other. Our own values, without an alarm on traditional tunes.
_WORTH_KNOWING, _CLEAR = 1.4, 4.5  # nats
_FEWEST, _OUTSIDE, _BETTER = 12, 0.25, 0.05


def _check(view: View) -> Iterable[Finding]:
    blues = says_blues(view.score)
    for part in view.score.parts:
        for key, bars in groupby(part.bars, key=lambda bar: bar.key):
            if key is not None:
                stretch = tuple(bars)
                told = list(_finding(part, key, stretch, blue_notes(key) if blues else frozenset()))
                yield from told or ([] if blues else _told_by_chords(part, key, stretch))


def _told_by_chords(part: Part, key: Key, bars: tuple[Bar, ...]) -> Iterator[Finding]:
    """The finding, if any, on chords that begin, end and lead as those of another key do."""
    told = key_told(bars, key, above_shapes(part.instrument))
    if told is not None and told.gain >= _WORTH_KNOWING:
        severity = None if told.gain >= _CLEAR else Severity.INFO
        message = f"the key written is {key.name}, but {told.why}, as in {told.key.name}: correct the key"
        yield RULE.finding(message, span_of(bars[0]), severity=severity, bar=bars[0].number)


def _finding(part: Part, key: Key, bars: tuple[Bar, ...], blue: frozenset[int]) -> Iterator[Finding]:
    """The finding, if any, on bars of one key, in which the ``blue`` pitch classes are at home too."""
    notes = [pair for bar in bars for pair in melody(bar.events)]
    outside = _outside(notes, key, blue)
    if len(notes) < _FEWEST or outside < _OUTSIDE or _outside_chords(bars, key) < _OUTSIDE:
        return
    above = above_shapes(part.instrument)  # the key may be that of the shapes
    reading = key_of(Part(part.name, part.instrument, bars))
    if reading is None or _outside([(midi - above, length) for midi, length in notes], key, blue) < _OUTSIDE:
        return
    if _outside(notes, reading.key) <= _BETTER:
        message = (
            f"the key written is {key.name}, but {outside:.0%} of the notes from bar {bars[0].number} on "
            "lie "
            f"outside it, and {_outside(notes, reading.key):.0%} outside {reading.key.name} (next best: "
            f"{reading.runner_up.name}): correct the key, the tuning or the capo"
        )
        yield RULE.finding(message, span_of(bars[0]), bar=bars[0].number)


def _outside(notes: list[tuple[int, Quarters]], key: Key, blue: frozenset[int] = frozenset()) -> float:
    """The share of the notes outside a key; a minor key's raised sixth and seventh are inside."""
    inside = key_pitch_classes(key) | blue
    if key.mode in ("minor", "aeolian"):
        inside |= key_pitch_classes(Key(key.step, key.alter, "dorian"))
        inside |= {(pitch_class(place(key.step, key.alter)) + 11) % 12}
    return sum(midi % 12 not in inside for midi, _ in notes) / max(1, len(notes))


def _outside_chords(bars: tuple[Bar, ...], key: Key) -> float:
    """The share of chords with a note outside a key; 1 where no chord is written."""
    chords = [chord for bar in bars for h in bar.harmonies if (chord := _sounding(h.symbol))]
    if not chords:
        return 1.0
    inside = key_pitch_classes(key)
    return sum(not pitch_classes(chord) <= inside for chord in chords) / len(chords)


def _sounding(symbol: str) -> Chord | None:
    chord = parse_chord(symbol)
    return chord if chord and chord.quality.degrees else None


RULE = Rule(
    name="key-disagrees",
    group="harmony",
    severity=Severity.WARNING,
    what="The notes and chords of a part belong to another key than the one that is written.",
    why=(
        "Every remark on the notes is made against the written key, and the notation gets its signature. A "
        "wrong key is most often a forgotten capo, another tuning, or a line copied from another lesson."
    ),
    bad=BAD,
    good=BAD.replace("Db", "G"),
    check=_check,
)
