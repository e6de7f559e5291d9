"""A note stands on a string that the instrument does not have."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.lint.examples import LESSON, changed
from tabtools.lint.finding import Finding, Severity
from tabtools.lint.places import element_within, notes, span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View


def _check(view: View) -> Iterable[Finding]:
    for part, bar, event, note in notes(view.score):
        strings = len(part.instrument.tuning)
        if note.string is None or 1 <= note.string <= strings:
            continue
        name = part.instrument.name
        yield RULE.finding(
            f"there is no string {note.string}: the {name} has {strings}, 1 the highest; "
            "correct the string, or the tuning",
            element_within(view, span_of(note, event, bar), "string"),
            bar=bar.number,
        )


RULE = Rule(
    name="string-off-instrument",
    group="MusicXML",
    severity=Severity.ERROR,
    what="A note stands on a string that the instrument does not have.",
    why=(
        "Nobody can play it, and programs drop the note or put it on another string. String 1 is the "
        "highest. Correct the number, or give the staff a tuning with a string for it."
    ),
    bad=changed("<string>4</string>", "<string>7</string>"),
    good=LESSON,
    check=_check,
)
