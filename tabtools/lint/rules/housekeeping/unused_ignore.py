"""A remark silences a rule that has nothing to say there."""

from __future__ import annotations

from tabtools.lint.finding import Edit, Finding, Fix, Severity
from tabtools.lint.rule import Rule
from tabtools.source import Span

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


def finding(name: str, span: Span, cut: Span, text: str) -> Finding:
    """The finding for one rule of a remark; ``text`` in the place of ``cut`` puts it right."""
    message = "remove it from the remark" if text else "remove the remark"
    return RULE.finding(
        f"{name} finds nothing where this remark silences it: {message}",
        span,
        fixes=(Fix((Edit(cut, text),), message, safe=True),),
    )


RULE = Rule(
    name="unused-ignore",
    group="housekeeping",
    severity=Severity.WARNING,
    what="A remark silences a rule that finds nothing there.",
    why=(
        "The fault is gone, and the remark would hide the next one in the same place. Rules that are "
        "switched off, and those that compare several files, are not counted."
    ),
    bad=GOOD.replace("27", "17"),
    good=GOOD,
    fix="safe",
)
