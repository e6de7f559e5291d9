"""How hard a lesson is, term by term. A level is a judgement: the terms say what it rests on."""

from __future__ import annotations

from tabtools.course.facts import Facts
from tabtools.record import NamedTuple

# What a unit of each term counts (a judgement, no source): a note a second more, a percent of the hand's
# reach, a change of position a bar, a technique or a form that has to be known, a place up the neck.
_SPEED, _STRETCH, _SHIFT, _TECHNIQUE, _FORM, _UP = 1.0, 0.02, 0.8, 0.5, 0.25, 0.5
_EASY = ("let-ring", "palm-mute", "tie", "ghost")


class Term(NamedTuple):
    """One part of a difficulty: what it comes from, and how much it counts."""

    words: str
    points: float


def terms(lesson: Facts) -> tuple[Term, ...]:
    """What makes a lesson hard; the terms add up to its difficulty."""
    techniques = [
        thing
        for thing in lesson.things
        if thing.startswith("technique ") and thing.split(" ", 1)[1] not in _EASY
    ]
    forms = [thing for thing in lesson.things if thing.startswith(("form ", "box "))]
    found = [
        Term(f"{lesson.speed:g} notes a second", lesson.speed * _SPEED),
        Term(f"widest stretch {lesson.stretch} % of the hand's reach", lesson.stretch * _STRETCH),
        Term(f"{lesson.shifts:g} changes of position a bar", lesson.shifts * _SHIFT),
        Term(f"techniques: {len(techniques)}", len(techniques) * _TECHNIQUE),
        Term(f"forms and boxes: {len(forms)}", len(forms) * _FORM),
        Term("up the neck", _UP if "positions up the neck" in lesson.things else 0.0),
    ]
    return tuple(Term(words, round(points, 2)) for words, points in found if points)


def difficulty(lesson: Facts) -> float:
    """The sum of the terms."""
    return round(sum(term.points for term in terms(lesson)), 2)
