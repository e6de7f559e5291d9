"""A course of invented facts: first places, what is used early, order, licks, practice."""

from __future__ import annotations

from itertools import permutations

from tabtools.course.difficulty import difficulty, terms
from tabtools.course.facts import Facts, Lick
from tabtools.course.ordering import (
    first_places,
    matching,
    never_taught,
    ordered,
    practice,
    twins,
    used_early,
)


def _lesson(
    name: str, *things: str, named: tuple[str, ...] = (), speed: float = 1.0, **more: object
) -> Facts:
    lesson = Facts(name, f"Lesson called {name}", things, named, 8, speed, 40, 0.5, 30.0, (), "")
    return lesson._replace(**more)  # type: ignore[arg-type]


_FIRST = _lesson("a", "form E", "key G major", named=("form E",))
_EARLY = _lesson("b", "form E", "form A", "technique bend")
_TAUGHT = _lesson("c", "form A", "technique bend", named=("form A", "technique bend"), speed=4.0)


def test_where_things_appear_first() -> None:
    firsts = first_places([_FIRST, _EARLY, _TAUGHT])
    assert {thing: lesson.name for thing, lesson in firsts.items()} == {
        "form E": "a",
        "key G major": "a",
        "form A": "b",
        "technique bend": "b",
    }


def test_what_is_used_before_it_is_named() -> None:
    early = used_early([_FIRST, _EARLY, _TAUGHT])
    assert [(one.thing, one.used.name, one.taught.name) for one in early] == [
        ("form A", "b", "c"),
        ("technique bend", "b", "c"),
    ]
    assert used_early([_FIRST, _TAUGHT, _EARLY]) == []


def test_the_order_does_not_hang_on_the_order_of_the_files() -> None:
    orders = {
        tuple(step.lesson.name for step in ordered(lessons))
        for lessons in permutations([_FIRST, _EARLY, _TAUGHT])
    }
    assert orders == {("a", "b", "c")}


def test_a_lesson_comes_after_one_that_it_names() -> None:
    easy = _FIRST._replace(text=f"Play it after {_TAUGHT.title}.")
    names = [step.lesson.name for step in ordered([easy, _TAUGHT])]
    assert names == ["c", "a"]


def test_new_things_are_new_once() -> None:
    new = [thing for step in ordered([_FIRST, _EARLY, _TAUGHT]) for thing in step.new]
    assert sorted(new) == sorted({"form E", "key G major", "form A", "technique bend"})


def test_the_terms_add_up() -> None:
    for lesson in (_FIRST, _EARLY, _TAUGHT):
        assert round(sum(term.points for term in terms(lesson)), 2) == difficulty(lesson)
    assert difficulty(_TAUGHT) > difficulty(_FIRST)


def test_the_same_lick_is_found_in_another_lesson_only() -> None:
    one = _FIRST._replace(licks=(Lick(1, "x"), Lick(4, "x")))
    other = _EARLY._replace(licks=(Lick(3, "x"), Lick(5, "y")))
    (twin,) = twins([one, other])
    assert (twin.first.name, twin.first_bar, twin.second.name, twin.second_bar) == ("a", 1, "b", 3)


def test_what_is_never_used() -> None:
    missing = never_taught([_FIRST, _EARLY])
    assert "form E" not in missing
    assert "form C" in missing
    assert "key G major" not in missing
    assert sum(thing.startswith("key") for thing in missing) == 23


def test_practice_fills_the_minutes_of_each_day() -> None:
    days = list(practice(ordered([_FIRST, _EARLY, _TAUGHT]), 20))
    assert [day.number for day in days] == list(range(1, len(days) + 1))
    assert {day.minutes + day.review_minutes for day in days} == {20}
    assert days[0].review is None
    assert all(day.review and day.review is not day.lesson for day in days[1:] if day.lesson.name != "a")


def test_lessons_are_found_by_what_they_use() -> None:
    lessons = [_FIRST, _EARLY, _TAUGHT]
    assert [one.name for one in matching(lessons, ["E form"])] == ["a", "b"]
    assert [one.name for one in matching(lessons, ["bend", "form A"])] == ["b", "c"]
    assert matching(lessons, ["E form", "key A major"]) == []
