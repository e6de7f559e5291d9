"""A slur, hammer-on, pull-off or slide has only one of its ends."""

from __future__ import annotations

from tabtools.lint.elements import Reporter
from tabtools.lint.examples import changed
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

_SLUR_STOP = '<slur type="stop"/>'
# From the first note of bar 2 to the second one, on the tab staff.
_HAMMERED = (
    "<fret>2</fret>",
    '<fret>2</fret><hammer-on type="start">H</hammer-on></technical><slur type="start"/>',
    "<fret>4</fret>",
    f'<fret>4</fret><hammer-on type="stop"/></technical>{_SLUR_STOP}',
)
GOOD = changed(f"{_HAMMERED[0]}</technical>", _HAMMERED[1], 1)
_HEAD, _MIDDLE, _TAIL = GOOD.split(f"{_HAMMERED[2]}</technical>", 2)
GOOD = f"{_HEAD}{_HAMMERED[2]}</technical>{_MIDDLE}{_HAMMERED[3]}{_TAIL}"
RULE = Rule(
    name="broken-join",
    group="MusicXML",
    severity=Severity.WARNING,
    what="A slur, hammer-on, pull-off or slide has only one of its ends.",
    why=(
        "These marks come in pairs, start and stop, with the same number. With one end missing "
        "programs draw the mark to the end of the piece or leave it out, and nobody knows which notes "
        "are joined. Write the other end, or remove this one."
    ),
    bad=GOOD.replace(_SLUR_STOP, ""),
    good=GOOD,
    fix="unsafe",
    check=Reporter("broken-join", Severity.WARNING),
)
