"""The words of a page say something about its notes that the rows deny."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.rule import Rule
from tabtools.lint.view import View

BAD = """\
Key: D major
Time: 4/4

The chords are D, F and A, all in second position.

   D                 G                 A
e|-----2---2---2---|-----3---3---3---|-----0---0---0---|
B|-----3---3---3---|-----3---3---3---|-----2---2---2---|
G|-----2---2---2---|-----4---4---4---|-----2---2---2---|
D|-0---------------|-5---------------|-2---------------|
A|-----------------|-----------------|-0---------------|
E|-----------------|-3---------------|-----------------|
"""


def _check(view: View) -> Iterable[Finding]:
    page = view.document.page
    if page is None:
        return
    from tabtools.lint.claims import denied_claims

    for line in page.prose:
        for denied in denied_claims(line.text, view.score):
            words = line.text[denied.start : denied.end]
            yield RULE.finding(
                f"“{words}”: {denied.message}; correct the words or the rows",
                line.line.span(denied.start, denied.end),
            )


RULE = Rule(
    name="prose-disagrees",
    group="harmony",
    severity=Severity.WARNING,
    what="The words of the page say something about its notes that the rows deny.",
    why=(
        "A student who reads that the hand is in ninth position looks for it there. Positions, forms, lists "
        "of chords, notes over chords, degrees and numbers of bars are held against the rows, where the "
        "words can mean nothing else."
    ),
    bad=BAD,
    good=BAD.replace("D, F and A", "D, G and A"),
    check=_check,
)
