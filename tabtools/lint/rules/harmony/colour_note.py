"""A note outside the key's pentatonic that the chord brings, or that has another good reason."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.melody import EXCUSED, Judged, judged_notes
from tabtools.lint.rule import Rule
from tabtools.lint.view import View

BAD = """\
Tuning: standard
Key: G major

   D
   q   q   q   q
e|-----------------|
B|-3---7---5---3---|
G|-----------------|
D|-----------------|
A|-----------------|
E|-----------------|
"""


def _check(view: View) -> Iterable[Finding]:
    alike: dict[tuple[int, int, str], list[Judged]] = {}
    for judged in view.stage(judged_notes):
        if judged.verdict.level == "info" and judged.verdict.name not in EXCUSED:
            alike.setdefault((judged.part, judged.bar.number, judged.reason), []).append(judged)
    for first, *others in alike.values():
        times = f" ({len(others) + 1} times in bar {first.bar.number})" if others else ""
        related = tuple(judged.span for judged in others)
        yield RULE.finding(first.says + times, first.span, related=related, bar=first.bar.number)


RULE = Rule(
    name="colour-note",
    group="harmony",
    severity=Severity.INFO,
    what="A note outside the pentatonic of the key that the chord of the moment brings, or a blue note.",
    why=(
        "Nothing is wrong with it. These notes make a phrase follow its chords, and a lesson should say why "
        "they fit: what the note is in the chord and what it is in the key. Each is told once a bar."
    ),
    bad=BAD,
    good=BAD.replace("7", "8").replace("   D\n", "   G\n"),
    check=_check,
)
