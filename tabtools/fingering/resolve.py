"""Fill in string, fret and finger where a score lacks them."""

from __future__ import annotations

from tabtools.fingering.plan import Choice, Plan, plan
from tabtools.score import Inferred, Note, Part, Score
from tabtools.timeline import NoteIndex


def resolve(
    score: Score,
    *,
    hand: str = "medium",
    profile: str = "neutral",
    max_fret: int | None = None,
    position: int | None = None,
    rework: bool = False,
) -> Score:
    """The score with a string, a fret and a finger for every note that the fretting hand can play.

    What is written is kept, unless ``rework`` asks for all to be chosen anew; what is filled in is marked as
    inferred, with its confidence. A note that the instrument does not have, a dead note and a harmonic
    without a string stay as they are. See `plan` for the options.
    """
    parts = (
        resolved(plan(part, hand=hand, profile=profile, max_fret=max_fret, position=position, rework=rework))
        for part in score.parts
    )
    return score._replace(parts=tuple(parts))


def resolved(fingering: Plan, way: int = 1) -> Part:
    """The part of a plan, with what the plan says filled in; ``way`` counts its ways from the easiest."""
    path = fingering.way_path(way) if way > 1 else None
    bars = []
    for b, bar in enumerate(fingering.part.bars):
        events = []
        for e, event in enumerate(bar.events):
            notes = tuple(
                _note(fingering, NoteIndex(b, e, n), note, path) for n, note in enumerate(event.notes)
            )
            events.append(event if notes == event.notes else event._replace(notes=notes))
        bars.append(bar._replace(events=tuple(events)))
    return fingering.part._replace(bars=tuple(bars))


def _note(fingering: Plan, at: NoteIndex, note: Note, path: tuple[int, ...] | None) -> Note:
    number = fingering.number(at)
    if number is None:
        return note
    held = fingering.held(number, path)
    inferred = list(note.inferred)
    if (note.string, note.fret) != (held.string, held.fret):
        inferred.append(
            _inferred("string and fret", "the easiest way along the neck", fingering.place_choice(number))
        )
    finger = (
        str(held.finger)
        if held.finger or (held.fret == 0 and fingering.taken.sounded[number].want.press)
        else None
    )
    if finger is not None and note.finger != finger and not note.tied:
        inferred.append(_inferred("finger", "the easiest way for the hand", fingering.finger_choice(number)))
    else:
        finger = note.finger
    return note._replace(string=held.string, fret=held.fret, finger=finger, inferred=tuple(inferred))


def _inferred(fact: str, evidence: str, choice: Choice) -> Inferred:
    return Inferred(fact, evidence, round(choice.confidence, 3))
