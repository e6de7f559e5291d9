"""String and fret of a tab note sound another pitch than the one written."""

from __future__ import annotations

from tabtools.lint.elements import Reporter
from tabtools.lint.examples import LESSON, changed
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

RULE = Rule(
    name="fret-pitch-mismatch",
    group="MusicXML",
    severity=Severity.ERROR,
    what="String and fret of a tab note sound another pitch than the one written.",
    why=(
        "Programs show the fret and play the pitch, so that students hear another note than they "
        "finger. Where a notation staff has the same note, it tells which of the two is wrong. "
        "Harmonics, bends and dead notes are left out, and so are whole octaves."
    ),
    bad=changed("<fret>4</fret>", "<fret>5</fret>"),
    good=LESSON,
    fix="unsafe",
    check=Reporter("fret-pitch-mismatch", Severity.ERROR),
)
