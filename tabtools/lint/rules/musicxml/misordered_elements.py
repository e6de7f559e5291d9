"""Elements stand in an order that the MusicXML schema does not allow."""

from __future__ import annotations

from tabtools.lint.elements import Reporter
from tabtools.lint.examples import LESSON, changed
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

RULE = Rule(
    name="misordered-elements",
    group="MusicXML",
    severity=Severity.ERROR,
    what="Elements stand in an order that the MusicXML schema does not allow.",
    why=(
        "The schema fixes the order of the elements in a note, in the attributes and elsewhere. "
        "Programs that rely on it refuse the file or skip what comes too late. The repair puts the "
        "elements in order and changes nothing else."
    ),
    bad=changed("<step>B</step><octave>3</octave>", "<octave>3</octave><step>B</step>"),
    good=LESSON,
    fix="safe",
    check=Reporter("misordered-elements", Severity.ERROR),
)
