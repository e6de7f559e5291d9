"""The signs of text tab, each with an example: what a page may use and the reader knows.

They come from the tables that reader and writer go by, and the examples are drawn by the writer, so that
what is listed is what is read.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from tabtools.record import NamedTuple
from tabtools.score import ZERO, Bar, Event, Note, Technique, TimeSignature
from tabtools.techniques import TECHNIQUES, TechniqueKind
from tabtools.text.words.values import DURATIONS, duration_word
from tabtools.text.writing.cells import bar_text
from tabtools.text.writing.spacing import place, render

# Lengths by name, in the order of the letters.
_LENGTHS = ("whole note", "half note", "quarter note", "eighth", "sixteenth", "thirty-second")
# What is drawn around the notes and stands in no table. Common practice, no source.
_BARS = (
    ("bar line", "|"),
    ("repeat: from here, to here", "|:   :|"),
    ("how often a repeat is played, beside its last bar line", "x3"),
    ("endings, over the bars that they begin with", "1.  2."),
    ("the bar before once more, in an empty bar", "%"),
)
_REACH = 4  # columns that the stroke of a mark over the strings goes on for, in an example
_FRET, _LATER = 5, 7
STANDS = ("on a string", "over the strings", "bars", "lengths")


class Sign(NamedTuple):
    """What a sign says, an example in tab, and where it stands: one of `STANDS`. ``also`` are other ways to
    type it, which are read and not written."""

    name: str
    says: str
    example: str
    stands: str
    also: tuple[str, ...] = ()


def signs() -> tuple[Sign, ...]:
    """Every sign that a page may use: techniques in the order of their table, bars, lengths."""
    techniques = sorted(map(_technique, TECHNIQUES), key=lambda sign: STANDS.index(sign.stands))
    return (*techniques, *_of_bars(), *_of_lengths())


def example_note(kind: TechniqueKind) -> Note:
    """A note played with a technique, with a size where the technique has one."""
    value = {"semitones": Fraction(2), "fret": Fraction(_LATER), None: None}[kind.value]
    fret = {"dead": None, "harmonic": 12}.get(kind.name, _LATER if kind.joins else _FRET)
    if kind.name in ("pull", "tie"):
        fret = _FRET
    if kind.name == "tie":
        return Note(1, fret, None, tied=True)
    return Note(1, fret, None, (Technique(kind.name, value),))


def _technique(kind: TechniqueKind) -> Sign:
    around = tuple(f"{left} {right}" for left, right in kind.around)
    on_string = (*kind.between, *kind.before, *kind.after, *around)
    over = not on_string and bool(kind.above)
    example = f"{kind.above[0]}{'-' * _REACH}|" if over else _drawn(example_note(kind), _from(kind))
    marks = dict.fromkeys((*on_string, *kind.also, *kind.above))
    also = tuple(mark for mark in marks if mark.split()[0] not in example)
    return Sign(kind.name, kind.says, example, STANDS[over], also)


def _from(kind: TechniqueKind) -> Note | None:
    """The note that another one is reached from."""
    if not kind.joins:
        return None
    return Note(1, _LATER if kind.name == "pull" else _FRET, None)


def _drawn(note: Note, before: Note | None) -> str:
    """A note as the writer types it, behind the one that it is reached from."""
    notes = [before, note] if before else [note]
    events = tuple(Event(Fraction(at), Fraction(1), (note,)) for at, note in enumerate(notes))
    text = bar_text(Bar(1, TimeSignature(len(notes), 4), events=events), None)
    (placed,) = place([text])
    return render(text, placed, 0).replace("-", "")


def _of_bars() -> Iterator[Sign]:
    for says, example in _BARS:
        yield Sign(says.partition(":")[0].partition(",")[0], says, example, STANDS[2])


def _of_lengths() -> Iterator[Sign]:
    for name, length in zip(_LENGTHS, (length for length in DURATIONS if _is_plain(length)), strict=False):
        yield Sign(name, f"{name}, over its notes", duration_word(length) or "", STANDS[3])
    quarter = Fraction(1)
    yield Sign("dot", "half as long again", duration_word(quarter * 3 / 2) or "", STANDS[3])
    yield Sign("rest", "a rest of that length", duration_word(quarter, rest=True) or "", STANDS[3])
    yield Sign("counts", "the beats said aloud, under the strings", "1 & 2 e & a", STANDS[3])


def _is_plain(length: Fraction) -> bool:
    return length > ZERO and length.numerator & (length.numerator - 1) == 0
