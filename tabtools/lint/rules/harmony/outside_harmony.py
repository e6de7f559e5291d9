"""A note is in neither the key nor the chord of the moment."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.foreign import Foreign
from tabtools.lint.melody import EXCUSED, Judged, judged_notes
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.theory.chord import pitch_classes as chord_pitch_classes
from tabtools.theory.key import pitch_classes as key_pitch_classes
from tabtools.theory.spelling import spell

BAD = """\
Tuning: standard
Key: G major

   G
   q   q   q   q
e|-----------------|
B|-----------------|
G|---------3---4---|
D|-5---------------|
A|-----5-----------|
E|-----------------|
"""


def _check(view: View) -> Iterable[Finding]:
    judged_all = view.stage(judged_notes)
    foreign = Foreign(judged_all)
    for judged in foreign.notes:
        # A key that we worked out ourselves explains, but accuses nobody; and a slip of a fret needs a
        # fret: notation alone writes an accidental for such a note, on purpose.
        guessed = "" if judged.sure else f" (no key is written; the notes tell {judged.key.name})"
        meant = foreign.meant(judged)
        sure = judged.sure and judged.note.fret is not None and not meant
        message = f"{judged.says}{guessed}{meant}: {_advice(judged)}"
        severity = None if sure else Severity.INFO
        yield RULE.finding(message, judged.span, severity=severity, bar=judged.bar.number)
    for judged in judged_all:
        if judged.verdict.name in EXCUSED:
            message = f"{judged.says}: nothing to do if it is meant"
            yield RULE.finding(message, judged.span, severity=Severity.INFO, bar=judged.bar.number)


def _advice(judged: Judged) -> str:
    """The nearest notes that would fit, and which way they lie."""
    inside = key_pitch_classes(judged.key)
    if judged.melody.chord:
        inside |= chord_pitch_classes(judged.melody.chord)
    target = judged.melody.target
    for distance in range(1, 7):
        fits = [
            f"{spell(target + step, judged.key).letter}, {_frets(distance)} {way},"
            for step, way in ((-distance, "lower"), (distance, "higher"))
            if (target + step) % 12 in inside
        ]
        if fits:
            return f"{' or '.join(fits)} would fit; correct the fret, or the chord if that is wrong"
    return "correct the fret, or the chord if that is wrong"


def _frets(number: int) -> str:
    return "one fret" if number == 1 else f"{number} frets"


RULE = Rule(
    name="outside-harmony",
    group="harmony",
    severity=Severity.WARNING,
    what="A note is in neither the key nor the chord of the moment.",
    why=(
        "Most such notes are slips of one fret; notation without tab gives an info. Notes that pass by step "
        "between two that fit, step away and back, or lead by a semitone into the second, the fifth or the "
        "sixth of the key are common and only reported as info, and so is one that comes back in another "
        "bar. The key and the chord symbols of the file decide, so correct those first where they are wrong."
    ),
    bad=BAD,
    good=BAD.replace("3---4", "4---4"),
    check=_check,
)
