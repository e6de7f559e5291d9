"""The hand has to move along the neck faster than hands do."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.fingering.readings import plans
from tabtools.fingering.shifts import Shift, shifts
from tabtools.fingering.weights import DEFAULT_TEMPO
from tabtools.lint.finding import Finding, Severity
from tabtools.lint.places import span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.score import Part

BAD = """\
Tuning: standard
Tempo: 180

   s s s s s s s s s s s s s s s s
e|---------------------------------|
B|---------------------------------|
G|-2-4-5-2-17-16-14-12-------------|
D|---------------------------------|
A|---------------------------------|
E|---------------------------------|
"""
# In mm a second. The quickest shifts in three published solo pieces are near 690, nine in ten below 300; the
# levels are set around these and are ours.
FAST, VERY_FAST, TOO_FAST = 400.0, 800.0, 1500.0
_LEVELS = (
    (TOO_FAST, "more than a hand can do", Severity.ERROR),
    (VERY_FAST, "very fast", Severity.WARNING),
    (FAST, "fast", Severity.INFO),
)


def _check(view: View) -> Iterable[Finding]:
    for plan in view.stage(plans, view.settings.hand):
        part = plan.part
        # Without a tempo the speed is a guess: only what is beyond a hand even so is worth a remark.
        levels = _LEVELS if any(bar.tempo for bar in part.bars) else _LEVELS[:1]
        for shift in shifts(plan):
            for limit, words, severity in levels:
                allowed = limit * view.settings.share
                if shift.speed > allowed:
                    yield _finding(part, shift, allowed, words, severity)
                    break


def _finding(part: Part, shift: Shift, limit: float, words: str, severity: Severity) -> Finding:
    bars = part.bars
    tempo = next((bar.tempo for bar in reversed(bars[: shift.to.bar + 1]) if bar.tempo), None)
    per_minute = float(tempo.per_minute) if tempo else float(DEFAULT_TEMPO)
    given = "" if tempo else f" (no tempo is given, {DEFAULT_TEMPO} taken)"
    message = (
        f"the hand moves at least {shift.distance:.0f} mm in {shift.time * 1000:.0f} ms here, "
        f"{shift.speed:.0f} mm a "
        f"second, which is {words}: the limit is {limit:.0f}, kept at "
        f"{per_minute * limit / shift.speed:.0f} beats a "
        f"minute instead of {per_minute:.0f}{given}; play one side on other strings, or slow down"
    )
    if not tempo:
        severity = Severity.INFO
    places = (
        span_of(event.notes[at.note], event, bars[at.bar])
        for at in (shift.to, shift.start)
        for event in (bars[at.bar].events[at.event],)
    )
    span, related = places
    number = bars[shift.to.bar].number
    return RULE.finding(message, span, severity=severity, related=(related,), bar=number)


RULE = Rule(
    name="fast-shift",
    group="playability",
    severity=Severity.ERROR,
    what="The hand has to move along the neck faster than hands do.",
    why=(
        "Measured is the least way that the hand has to go, wherever its fingers stand, from the last "
        "fretted note "
        "to the next: above 400 mm a second it is fast, above 800 very fast, above 1500 more than a hand "
        "can do. Limits "
        "are typical and hands differ; practise slowly, and stop when it hurts. Without a tempo it is a "
        "remark."
    ),
    bad=BAD,
    good=BAD.replace("17-16-14-12", "7--6--4--2-"),
    check=_check,
)
