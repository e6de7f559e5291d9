"""A course from its lessons: what comes first, what is used before it is taught, an order, and a plan."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from tabtools.course.difficulty import difficulty
from tabtools.course.facts import Facts
from tabtools.forms.table import FORMS
from tabtools.record import NamedTuple
from tabtools.theory.key import plainest_key

_SHORTEST_TITLE = 8  # a shorter one is a word that any lesson may use
_SLOW = 0.6  # a new lesson is practised at this share of its tempo (common practice, no source)
_PASSES = 12  # and played so often before the next one (common practice, no source)
_REVIEW = 0.25  # of the time of a day, for lessons from before
# What is taught by being used: every lesson has one.
_SETTING = ("instrument", "tuning", "metre", "open", "positions")


class Step(NamedTuple):
    """A lesson at its place in the order, with the things that are new there."""

    lesson: Facts
    new: tuple[str, ...]


class Early(NamedTuple):
    """A thing that a lesson uses before the one that names it."""

    thing: str
    used: Facts
    taught: Facts


class Twin(NamedTuple):
    """The same lick, transposed or not, in two lessons, by its bars."""

    first: Facts
    first_bar: int
    second: Facts
    second_bar: int


class Day(NamedTuple):
    """A day of practice: minutes on a new lesson, and on one from before (None on the first days)."""

    number: int
    lesson: Facts
    minutes: int
    review: Facts | None
    review_minutes: int


def first_places(lessons: Sequence[Facts]) -> dict[str, Facts]:
    """For every thing the first lesson that uses it, in the order that the lessons have."""
    found: dict[str, Facts] = {}
    for lesson in lessons:
        for thing in lesson.things:
            found.setdefault(thing, lesson)
    return found


def used_early(lessons: Sequence[Facts]) -> list[Early]:
    """What is used in a lesson before the first one that names it."""
    taught: dict[str, Facts] = {}
    for lesson in lessons:
        for thing in lesson.named:
            taught.setdefault(thing, lesson)
    firsts = first_places(lessons)
    return [
        Early(thing, lesson, taught[thing])
        for thing, lesson in firsts.items()
        if thing in taught and taught[thing] is not lesson and not thing.startswith(_SETTING)
    ]


def never_taught(lessons: Sequence[Facts]) -> tuple[str, ...]:
    """The movable forms and the major and minor keys that no lesson uses."""
    used = set(first_places(lessons))
    forms = [f"form {form}" for form in FORMS if not any(t.startswith(f"form {form}") for t in used)]
    keys = [f"key {plainest_key(tonic, mode).name}" for mode in ("major", "minor") for tonic in range(12)]
    return (*forms, *(key for key in keys if key not in used))


def twins(lessons: Sequence[Facts]) -> list[Twin]:
    """Licks that come again in another lesson, each with the first lesson that has it."""
    firsts: dict[str, tuple[Facts, int]] = {}
    found = []
    for lesson in lessons:
        for bar, music in lesson.licks:
            home, first_bar = firsts.setdefault(music, (lesson, bar))
            if home is not lesson:
                found.append(Twin(home, first_bar, lesson, bar))
    return found


def ordered(lessons: Sequence[Facts]) -> list[Step]:
    """An order in which each lesson brings as few new things as can be, the easier one first where there are
    several; a lesson that names another one by its title comes after it."""
    waiting, known, steps = list(lessons), set[str](), list[Step]()
    after = {lesson.name: _names(lesson, lessons) for lesson in lessons}
    while waiting:
        done = {step.lesson.name for step in steps}
        ready = [lesson for lesson in waiting if after[lesson.name] <= done] or waiting
        lesson = min(ready, key=lambda one: (_weight(one, known), difficulty(one), one.name))
        new = tuple(thing for thing in lesson.things if thing not in known)
        steps.append(Step(lesson, new))
        known.update(lesson.things)
        waiting.remove(lesson)
    return steps


def _names(lesson: Facts, lessons: Sequence[Facts]) -> set[str]:
    """The lessons that a lesson names in its words."""
    return {
        other.name
        for other in lessons
        if other is not lesson and len(other.title) >= _SHORTEST_TITLE and other.title in lesson.text
    }


def _weight(lesson: Facts, known: set[str]) -> float:
    """New things, each as much as a point of difficulty."""
    return sum(thing not in known for thing in lesson.things) + difficulty(lesson)


def practice(steps: Sequence[Step], minutes: int) -> Iterator[Day]:
    """Days of so many minutes: each lesson for as long as its passes at a slow tempo take, a quarter of a day
    for one from before."""
    number = 0
    for place, step in enumerate(steps):
        review = int(minutes * _REVIEW) if place else 0
        needed = max(step.lesson.seconds / _SLOW * _PASSES / 60, 1)
        for day in range(max(1, math.ceil(needed / max(minutes - review, 1)))):
            number += 1
            before = steps[place - 1 - day % place].lesson if place else None
            yield Day(number, step.lesson, minutes - review, before, review)


def matching(lessons: Sequence[Facts], wanted: Sequence[str]) -> list[Facts]:
    """The lessons that use every one of the things; ``C form`` and ``form C`` mean the same."""
    return [lesson for lesson in lessons if all(_has(lesson, thing) for thing in wanted)]


def _has(lesson: Facts, thing: str) -> bool:
    words = thing.lower().split()
    return any(
        sorted(words) == sorted(own.lower().split()) or thing.lower() == own.split(" ", 1)[-1].lower()
        for own in lesson.things
    )
