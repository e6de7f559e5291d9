"""Two notes at once on one string."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.lint.example_line import LINE
from tabtools.lint.finding import Finding, Severity
from tabtools.lint.moments import chords
from tabtools.lint.rule import Rule
from tabtools.lint.view import View

_NOTE = LINE[LINE.index("      <note>") : LINE.index("    </measure>")]


def _second(string: int, fret: int, step: str) -> str:
    second = _NOTE.replace("<note>", "<note><chord/>").replace("<step>A", f"<step>{step}")
    return second.replace("<string>3</string><fret>0", f"<string>{string}</string><fret>{fret}")


def _check(view: View) -> Iterable[Finding]:
    for chord in chords(view.score):
        for string, frets in chord.clashes:
            places = " and ".join(map(str, frets))
            message = (
                f"string {string} is to sound at frets {places} at the same time in bar "
                f"{chord.bar.number}: a string "
                "gives one note, so play one of them on another string"
            )
            yield RULE.finding(message, chord.spans[0], related=chord.spans[1:], bar=chord.bar.number)


RULE = Rule(
    name="same-string-clash",
    group="playability",
    severity=Severity.ERROR,
    what="Two notes are to sound at once on one string.",
    why=(
        "A string sounds where it is stopped nearest to the bridge, so only one of the notes can be heard. "
        "It happens "
        "where voices or parts were put together, or where strings were given without a look at the chord."
    ),
    bad=LINE.replace(_NOTE, _NOTE + _second(3, 2, "B")),
    good=LINE.replace(_NOTE, _NOTE + _second(2, 2, "E")),
    check=_check,
)
