"""A note stands twice in a voice, and the bar is too long by it."""

from __future__ import annotations

from tabtools.lint.elements import Reporter
from tabtools.lint.examples import LESSON
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

_END = "</note>"
_FIRST = LESSON[LESSON.index("      <note>") : LESSON.index(_END) + len(_END) + 1]
RULE = Rule(
    name="note-doubled",
    group="MusicXML",
    severity=Severity.ERROR,
    what="A note stands twice in a voice, and the bar is too long by it.",
    why=(
        "Everything behind the second one comes too late, and the staves no longer show the same "
        "music. Take one "
        "of the two out."
    ),
    bad=LESSON.replace(_FIRST, _FIRST + _FIRST, 1),
    good=LESSON,
    fix="unsafe",
    check=Reporter("note-doubled", Severity.ERROR),
)
