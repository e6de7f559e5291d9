"""A note is in neither the key nor the chord of the moment."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.melody import EXCUSED, Judged, judged_notes
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.score import Bar, Quarters
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


# Of tunes that leave their key for a moment: the leading note of the dominant, which rises to it, and the
# seventh over the tonic, which falls; and leading notes of the second and the sixth, and minor's of its tonic
# in the other modes. Common practice, no source.
_LEADING = ("#4", "b7")
_LEADING_FROM_AFAR = ("#1", "#5", "7")


def _check(view: View) -> Iterable[Finding]:
    judged_all = view.stage(judged_notes)
    outside = [judged for judged in judged_all if judged.verdict.name == "outside"]
    for judged in outside:
        # A key that we worked out ourselves explains, but accuses nobody; and a slip of a fret needs a
        # fret: notation alone writes an accidental for such a note, on purpose.
        guessed = "" if judged.sure else f" (no key is written; the notes tell {judged.key.name})"
        meant = _meant(judged, outside, judged_all)
        sure = judged.sure and judged.note.fret is not None and not meant
        message = f"{judged.says}{guessed}{meant}: {_advice(judged)}"
        severity = None if sure else Severity.INFO
        yield RULE.finding(message, judged.span, severity=severity, bar=judged.bar.number)
    for judged in judged_all:
        if judged.verdict.name in EXCUSED:
            message = f"{judged.says}: nothing to do if it is meant"
            yield RULE.finding(message, judged.span, severity=Severity.INFO, bar=judged.bar.number)


def _meant(judged: Judged, outside: Sequence[Judged], everything: Sequence[Judged]) -> str:
    """Why a note outside is hardly a slip, in words; nothing where it may well be one."""
    pitch = judged.melody.target
    alike = [
        other
        for other in outside
        if (other.part, other.melody.target % 12) == (judged.part, pitch % 12)
        and _music(other.bar) != _music(judged.bar)  # a slip is copied with its bar
    ]
    if alike:
        return f" (as in bar {alike[0].bar.number})"
    return _led(judged, everything)


def _led(judged: Judged, everything: Sequence[Judged]) -> str:
    """Where a foreign note leads, in words; nothing where it leads nowhere. Common practice, no source."""
    pitch, at = judged.melody.target, judged.melody.onset
    line = [other for other in everything if other.part == judged.part]
    before = _sounding(line, max((o.melody.onset for o in line if o.melody.onset < at), default=None))
    after, beyond = _next(line, at)
    degree = judged.verdict.degree or ""
    over = {pitch + 2, pitch + 3}
    if pitch + 1 in before and (pitch + 1 in after or (after & over and pitch + 1 in beyond)):
        return f" (it turns about {_name(pitch + 1, judged)})"
    if degree == "b7" and pitch + 2 in before & after:
        return f" (it turns about {_name(pitch + 2, judged)})"
    if degree == "#4" and pitch + 1 in before:
        return f" (it steps down from {_name(pitch + 1, judged)} as in the key of that)"
    goal = pitch - 1 if degree == "b7" else pitch + 1
    # In a run upwards the step that is a semitone too short is as likely a slip, but for the dominant's.
    run = before & {pitch - 1, pitch - 2}
    if goal in after and (degree in _LEADING or (degree in _LEADING_FROM_AFAR and not run)):
        return f" (it leads into the next note, {_name(goal, judged)})"
    return ""


def _next(line: Sequence[Judged], at: Quarters) -> tuple[set[int], set[int]]:
    """What sounds after a moment, and what after that, as MIDI numbers that are not foreign themselves."""
    onsets = sorted({other.melody.onset for other in line if other.melody.onset > at})[:2]
    after, beyond = (*onsets, None, None)[:2]
    return _sounding(line, after), _sounding(line, beyond)


def _sounding(line: Sequence[Judged], onset: Quarters | None) -> set[int]:
    return {o.melody.target for o in line if o.melody.onset == onset and o.verdict.level != "warning"}


def _name(pitch: int, judged: Judged) -> str:
    return spell(pitch, judged.key).letter


def _music(bar: Bar) -> list[tuple[object, ...]]:
    """What a bar sounds, wherever it stands in the file."""
    return [(event.onset, tuple((note.string, note.fret) for note in event.notes)) for event in bar.events]


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
