"""The notation staff and the tab staff do not hold the same music."""

from __future__ import annotations

from tabtools.lint.elements import Reporter
from tabtools.lint.examples import LESSON, changed
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

RULE = Rule(
    name="notation-tab-differ",
    group="MusicXML",
    severity=Severity.WARNING,
    what="The notation staff and the tab staff do not hold the same music.",
    why=(
        "The two staves show one music in two ways; students who read the one learn another tune than "
        "those who read the other. Correct the staff that is wrong. Where pitch and fret of the tab "
        "agree, the repair corrects the notation."
    ),
    bad=changed("<step>B</step>", "<step>C</step>"),
    good=LESSON,
    fix="unsafe",
    check=Reporter("notation-tab-differ", Severity.WARNING),
)
