"""One note that is beside a chord whose notes all the others are."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.meant import OtherNote, note_name, readings
from tabtools.lint.places import span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View

BAD = """\
Key: E major
Time: 4/4

   E                         A
e|-------------7-----------|----------9--------------|
B|----------9-----9--------|-------10----10----10----|
G|-------9-----------9-----|----9-----------9-----9--|
D|----9-----------------7--|-7-----------------------|
A|-7-----------------------|-------------------------|
E|-------------------------|-------------------------|
"""


def _check(view: View) -> Iterable[Finding]:
    for reading in view.stage(readings):
        if isinstance(reading, OtherNote):
            yield _finding(reading)


def _finding(reading: OtherNote) -> Finding:
    bar, event, note, _ = reading.placed
    stretch = reading.stretch
    others = len(stretch.notes) - 1
    frets = " or ".join(str(fret) for fret in reading.fits[:2])
    advice = f"fret {frets} would be" if frets else "see whether it stands on the wrong string"
    return RULE.finding(
        f"the other {others} notes under {stretch.harmony.symbol} in bar {bar.number} are its own, and "
        f"{note_name(reading.placed)} (string {note.string}, fret {note.fret}) is not: {advice}; correct it "
        "if it slipped in",
        span_of(note, event, bar),
        bar=bar.number,
    )


RULE = Rule(
    name="odd-note",
    group="harmony",
    severity=Severity.INFO,
    what="One note is beside a chord whose notes all the others are.",
    why=(
        "On a page of arpeggios and chords a single note that the chord does not have is mostly a slip of a "
        "fret or two, even where the key has it. The rest of the page tells how many notes beside the chord "
        "are usual there; a melody gives no finding, nor does a note that passes by step."
    ),
    bad=BAD,
    good=BAD.replace("-7--|-7", "-9--|-7"),
    check=_check,
)
