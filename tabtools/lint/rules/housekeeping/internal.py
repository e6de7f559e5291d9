"""A part of the program failed on a file."""

from __future__ import annotations

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.rule import Rule
from tabtools.source import Span

RULE = Rule(
    name="internal",
    group="housekeeping",
    severity=Severity.ERROR,
    what="A part of this program failed on the file.",
    why=(
        "The fault is ours and not yours. Everything else was still checked, but what the failing part "
        "would have found is missing. Please report the message together with the file."
    ),
)


def crash(part: str, error: Exception) -> Finding:
    """The finding for an exception that ``part``, as in ``the rule bar-overfull``, raised."""
    return RULE.finding(
        f"{part} failed with {type(error).__name__}: {_first_line(error)}. "
        "This is a fault of tabtools: please report it with this file",
        Span(0, 0),
    )


def _first_line(error: Exception) -> str:
    lines = str(error).splitlines()
    return lines[0][:200] if lines else "no further words"
