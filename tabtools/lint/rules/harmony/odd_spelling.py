"""A note or chord is named from the far side of the key."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tabtools.lint.chords import chord_stretches, notes_with_chords
from tabtools.lint.finding import Finding, Severity
from tabtools.lint.places import span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.score import Bar, Event, Key, Note
from tabtools.theory.chord import tone
from tabtools.theory.key import fifths
from tabtools.theory.line_of_fifths import letter, place
from tabtools.theory.spelling import spell

BAD = """\
Tuning: standard
Key: D major

   D               Gb
e|---------------|---------------|
B|-7---7---5---7-|---------------|
G|---------------|-6---6---6---6-|
D|---------------|---------------|
A|---------------|---------------|
E|---------------|---------------|
"""
# From the flat fifth of the major tonic with the same signature to its sharp sixth, in fifths: every note of
# the key, of its minor in all forms, and the chromatic notes on either side. Common practice, no source.
_LOWEST, _HIGHEST = -6, 10


def _check(view: View) -> Iterable[Finding]:
    yield from _chords(view)
    if view.document.tree is not None:  # text tab names no notes
        yield from _notes(view)


def _odd(step: str, alter: int, key: Key) -> bool:
    return not _LOWEST <= place(step, alter) - fifths(key) <= _HIGHEST


def _chords(view: View) -> Iterator[Finding]:
    for stretch in view.stage(chord_stretches):
        chord, key = stretch.chord, stretch.key
        if chord and key and chord.quality.degrees and _odd(chord.root_step, chord.root_alter, key):
            wanted = _plain(chord.root_step, chord.root_alter, key)
            message = (
                f"the chord {chord.text} is named from the far side of {key.name}, where its root is called "
                f"{wanted}: write the chord with {wanted}"
            )
            span = stretch.harmony.span or span_of(stretch.bar)
            yield RULE.finding(message, span, bar=stretch.bar.number)


def _notes(view: View) -> Iterator[Finding]:
    """Once for each name in a bar, with the other places related."""
    odd: dict[tuple[int, str], list[tuple[Bar, Event, Note]]] = {}
    for bar, event, note, chord in view.stage(notes_with_chords):
        pitch = note.pitch
        if pitch is None or bar.key is None or note.tied or not _odd(pitch.step, pitch.alter, bar.key):
            continue
        asked = tone(chord, pitch.midi % 12) if chord else None
        if asked is None or asked[1] != pitch.letter:
            odd.setdefault((id(bar), pitch.letter), []).append((bar, event, note))
    for found in odd.values():
        yield _finding(found)


def _finding(found: list[tuple[Bar, Event, Note]]) -> Finding:
    bar, _, note = found[0]
    assert note.pitch is not None
    assert bar.key is not None
    wanted = spell(note.pitch.midi, bar.key).letter
    message = (
        f"{note.pitch.letter} is an odd name in {bar.key.name}, where that note is called {wanted}: "
        f"write {wanted}, or correct the key"
    )
    first, *others = (span_of(note, event, bar) for bar, event, note in found)
    return RULE.finding(message, first, related=tuple(others), bar=bar.number)


def _plain(step: str, alter: int, key: Key) -> str:
    """The name of the same sound that lies in the key's reach; twelve fifths make seven octaves."""
    at = place(step, alter)
    centre = fifths(key) + (_LOWEST + _HIGHEST) / 2
    return letter(at + 12 * round((centre - at) / 12))


RULE = Rule(
    name="odd-spelling",
    group="harmony",
    severity=Severity.WARNING,
    what="A note or chord is named from the far side of the key, as Gb in a key with sharps.",
    why=(
        "It sounds right and reads wrong: students look for a note that the key does not have, and the "
        "reason why the note fits cannot be seen. Names that the chord of the moment asks for are left "
        "alone."
    ),
    bad=BAD,
    good=BAD.replace("Gb", "F#"),
    check=_check,
)
