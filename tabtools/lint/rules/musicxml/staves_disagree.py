"""The staves of a part have different metres or keys."""

from __future__ import annotations

from tabtools.lint.elements import Reporter
from tabtools.lint.examples import LESSON, changed
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

RULE = Rule(
    name="staves-disagree",
    group="MusicXML",
    severity=Severity.WARNING,
    what="The staves of a part have different metres or keys.",
    why=(
        "They show one music: students who read the one count or play otherwise than those who read "
        "the other. "
        "Correct the one that is wrong."
    ),
    bad=changed(
        "<time><beats>4</beats><beat-type>4</beat-type></time>",
        '<time number="1"><beats>4</beats><beat-type>4</beat-type></time>'
        '<time number="2"><beats>3</beats><beat-type>4</beat-type></time>',
    ),
    good=LESSON,
    check=Reporter("staves-disagree", Severity.WARNING),
)
