"""A tie has only one of its ends."""

from __future__ import annotations

from tabtools.lint.elements import Reporter
from tabtools.lint.examples import LESSON, changed
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

RULE = Rule(
    name="broken-tie",
    group="MusicXML",
    severity=Severity.WARNING,
    what="A tie has only one of its ends.",
    why=(
        "A tie is written on both notes, once for the sound and once for the page. With one end "
        "missing the second note is struck again, or the curve hangs in the air. Write the missing "
        "end, or remove the other."
    ),
    bad=changed('\n        <tie type="stop"/>', "").replace('<tied type="stop"/>', "", 1),
    good=LESSON,
    fix="unsafe",
    check=Reporter("broken-tie", Severity.WARNING),
)
