"""A remark that should silence a rule names none, or can't be understood."""

from __future__ import annotations

from collections.abc import Sequence

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.option import closest
from tabtools.lint.rule import Rule
from tabtools.source import Span

FORM = "tabtools: ignore RULE, RULE in line|system|file because REASON"
GOOD = """\
Tuning: standard
Key: A minor

tabtools: ignore fret-off-neck in system because this guitar has 28 frets
e|-12----27-----15-|
B|-----------------|
G|-----------------|
D|-----------------|
A|-----------------|
E|-----------------|
"""


def unreadable(span: Span) -> Finding:
    """The finding for a remark of another form."""
    return RULE.finding(f"this remark can't be understood and silences nothing: write {FORM}", span)


def unknown(name: str, span: Span, known: Sequence[str]) -> Finding:
    """The finding for a name that is no rule's."""
    close = closest(name, known)
    hint = f"did you mean {close}?" if close else "tabtools explain lists the rules"
    return RULE.finding(f"there is no rule {name}: {hint}", span)


def never(name: str, span: Span) -> Finding:
    """The finding for a rule that no remark can silence."""
    return RULE.finding(f"{name} can't be silenced by a remark: remove it here", span)


RULE = Rule(
    name="unknown-ignore",
    group="housekeeping",
    severity=Severity.WARNING,
    what="A remark that should silence a rule names none, or can't be understood.",
    why=(
        "It silences nothing, so what was meant to be accepted still fails the check. The form is: "
        f"{FORM}. Without a reach, a remark right of a string row is about that line, any other about the "
        "system around or below it; in MusicXML it stands in a comment, and a system is the measure."
    ),
    bad=GOOD.replace("off-neck", "off-nek"),
    good=GOOD,
)
