"""A chord symbol that cannot be understood."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

from tabtools.document import Document
from tabtools.lint.chords import chord_stretches
from tabtools.lint.finding import Edit, Finding, Fix, Severity
from tabtools.lint.places import span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.score import Bar, Harmony
from tabtools.source import Span
from tabtools.theory.chord import UNSAID_KINDS, nearest_known, parse_chord

BAD = """\
Tuning: standard
Key: G major

   Gmja7           C
e|---------------|-----------------|
B|-3---3---0---3-|-----------------|
G|---------------|-0---0---0---0---|
D|---------------|-----------------|
A|---------------|-----------------|
E|---------------|-----------------|
"""
# As a MusicXML file has them, after the root.
_UNSAID = tuple(f"({kind})" for kind in UNSAID_KINDS)


@cache
def _slip() -> re.Pattern[str]:
    """A word that stands alone over a bar, where other bars have chords, and begins as a chord with a figure
    does."""
    return re.compile(r"[A-H][#b♯♭]?(?:[mM]|su|di|au|ad|(?=\d))(?=\D{0,6}\d)[\w#♯♭°øΔ+()/-]{1,9}")


def _check(view: View) -> Iterable[Finding]:
    for stretch in view.stage(chord_stretches):
        if stretch.chord is None and not stretch.harmony.symbol.endswith(_UNSAID):
            harmony = stretch.harmony
            yield _finding(view.document, harmony, stretch.bar, "notes under it are not judged")
    for part in view.score.parts:
        if sum(parse_chord(harmony.symbol) is not None for bar in part.bars for harmony in bar.harmonies) > 1:
            for bar in part.bars:
                for words in bar.words if not bar.harmonies else ():
                    if _slip().fullmatch(words.text) and parse_chord(words.text) is None:
                        harmony = Harmony(words.onset, words.text, words.span)
                        yield _finding(view.document, harmony, bar, "now it counts as a remark")


def _finding(document: Document, harmony: Harmony, bar: Bar, so: str) -> Finding:
    near = nearest_known(harmony.symbol)
    meant = f"if you mean {near}, write that" if near else "write it as in Am7, Gsus4 or D/F#"
    message = f'"{harmony.symbol}" is no chord symbol that we know: {meant}; {so}'
    fixes = _fixes(document, harmony, near)
    return RULE.finding(message, harmony.span or span_of(bar), bar=bar.number, fixes=fixes)


def _fixes(document: Document, harmony: Harmony, near: str | None) -> tuple[Fix, ...]:
    """Write the nearest known symbol instead; what follows on the line stays in its column."""
    text, span = document.source.text, harmony.span
    if near is None or span is None or text[span.start : span.end] != harmony.symbol:
        return ()
    rest = text[span.end :].split("\n", 1)[0]
    room = len(rest) - len(rest.lstrip(" "))
    grown = len(near) - len(harmony.symbol)
    if rest.strip() and grown >= room:
        return ()
    cut = min(max(grown, 0), room)
    padding = " " * -grown if grown < 0 and rest.strip() else ""
    edit = Edit(Span(span.start, span.end + cut), near + padding)
    return (Fix((edit,), f"write {near}", safe=False),)


RULE = Rule(
    name="unknown-chord",
    group="harmony",
    severity=Severity.WARNING,
    what="A chord symbol that cannot be understood.",
    why=(
        "Readers stumble over it, and the notes under it cannot be judged or named. The nearest known "
        "symbol "
        "is offered, but only you know which chord you meant."
    ),
    bad=BAD,
    good=BAD.replace("Gmja7", "Gmaj7"),
    fix="unsafe",
    check=_check,
)
