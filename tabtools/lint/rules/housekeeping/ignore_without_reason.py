"""A remark silences a rule and does not say why."""

from __future__ import annotations

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.rule import Rule
from tabtools.source import Span

GOOD = """\
Tuning: standard
Key: A minor

e|-12----27-----15-|   tabtools: ignore fret-off-neck because this guitar has 28 frets
B|-----------------|
G|-----------------|
D|-----------------|
A|-----------------|
E|-----------------|
"""


def finding(span: Span) -> Finding:
    """The finding for a remark."""
    return RULE.finding('this remark gives no reason: add "because" and say why the rule is wrong here', span)


RULE = Rule(
    name="ignore-without-reason",
    group="housekeeping",
    severity=Severity.WARNING,
    what="A remark silences a rule and does not say why.",
    why=(
        "Whoever reads the file later can't tell whether it still holds. The rule is silenced all the same. "
        'Write "because" and the reason at the end of the remark.'
    ),
    bad=GOOD.replace(" because this guitar has 28 frets", ""),
    good=GOOD,
)
