"""The file as a whole can't be read."""

from __future__ import annotations

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.rule import Rule
from tabtools.source import Span

RULE = Rule(
    name="unreadable",
    group="housekeeping",
    severity=Severity.ERROR,
    what="The file can't be read as tab or MusicXML.",
    why=(
        "Nothing else can be said about the file until it can be read: it is empty, no text, too large, "
        "holds no string lines, or is damaged. The message gives the first place that stopped the reading."
    ),
    bad="Remember to bring the tab of the second lesson.\n",
    good="e|-0-3-|\nB|-----|\nG|-----|\nD|-----|\nA|-----|\nE|-----|\n",
)


def unreadable(reason: str, span: Span) -> Finding:
    """The finding for a file that can't be read, for this reason."""
    return RULE.finding(reason, span)
