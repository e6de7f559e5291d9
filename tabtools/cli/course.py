"""``tabtools course``: what a folder of lessons teaches, and in what order."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

import click

from tabtools.cli import DONE
from tabtools.cli.files import MAX_MEGABYTES, Input, discover
from tabtools.cli.load import load_or_report
from tabtools.cli.output import complain, say, say_bytes
from tabtools.cli.reporting import exit_code, show
from tabtools.lint.finding import FileFindings
from tabtools.theory.key import parse_key

if TYPE_CHECKING:
    from tabtools.course.facts import Facts

_MANY = 16  # from so many lessons on several processes pay


@click.command("course", short_help="What a folder of lessons teaches, and in what order.")
@click.argument("paths", metavar="PATH...", nargs=-1, required=True)
@click.option(
    "--with", "wanted", metavar="THING", multiple=True, help='List lessons that use it, as in "C form".'
)
@click.option("--key", metavar="KEY", help="List lessons in this key.")
@click.option(
    "--minutes", type=click.IntRange(5, 480), metavar="N", help="Add a practice plan of N minutes a day."
)
@click.option(
    "--report",
    "report_format",
    type=click.Choice(["text", "markdown", "json"]),
    default="text",
    show_default=True,
    help="Text for people, Markdown, or JSON for programs.",
)
@MAX_MEGABYTES
def command(
    paths: tuple[str, ...],
    wanted: tuple[str, ...],
    key: str | None,
    minutes: int | None,
    report_format: str,
    limit: int,
) -> int:
    """What the lessons of a folder use and teach, and an order in which each one brings little that is new;
    what is used before a lesson names it, what is never used, and licks that come again.

    The order of the lessons as they are is that of their file names. Difficulty is a sum of terms that are
    listed; where it counts as hard for a student is the teacher's judgement. With --with or --key only the
    lessons that fit are listed.
    """
    if key is not None:
        parsed = parse_key(key)
        if parsed is None:
            raise click.UsageError(f"{key!r} is not a key: write it as G, Am or E dorian.")
        wanted = (*wanted, f"key {parsed.name}")
    lessons, failed = _lessons(discover(paths, limit=limit))
    if failed:
        show(failed, to_stderr=True)
    if wanted:
        from tabtools.course.ordering import matching

        found = matching(lessons, wanted)
        say("".join(f"{lesson.name}: {lesson.title}\n" for lesson in found))
        complain(f"{len(found)} of {len(lessons)} lessons use {', '.join(wanted)}")
    elif report_format == "json":
        say_bytes((json.dumps(_json(lessons, minutes), indent=2, ensure_ascii=False) + "\n").encode("utf-8"))
    else:
        say("\n".join(_text(lessons, minutes, "#" if report_format == "markdown" else "")) + "\n")
    return exit_code(failed) if failed else DONE


def _lessons(entries: Sequence[Input]) -> tuple[list[Facts], list[FileFindings]]:
    """The facts of all lessons that can be read, and why the others can't."""
    jobs = os.cpu_count() or 1
    if len(entries) < _MANY or jobs == 1:
        results = [_facts(entry) for entry in entries]
    else:
        from concurrent.futures import ProcessPoolExecutor

        with ProcessPoolExecutor(jobs) as pool:
            results = list(pool.map(_facts, entries, chunksize=4))
    lessons = [result for result in results if not isinstance(result, FileFindings)]
    return lessons, [result for result in results if isinstance(result, FileFindings)]


def _facts(entry: Input) -> Facts | FileFindings:
    from tabtools.course.facts import facts

    document = load_or_report(entry)
    return document if isinstance(document, FileFindings) else facts(document)


def _text(lessons: Sequence[Facts], minutes: int | None, mark: str) -> Iterator[str]:
    """The report; ``mark`` makes headings and lists those of Markdown."""
    from tabtools.course import ordering
    from tabtools.course.difficulty import difficulty, terms

    item = "- " if mark else "  "

    def heading(text: str) -> str:
        return f"{mark * 2} {text}\n".lstrip() if mark else text

    steps = ordering.ordered(lessons)
    yield heading(f"An order for {len(lessons)} lessons")
    for number, step in enumerate(steps, 1):
        yield f"{f'{number}. ' if mark else f'{number:4} '}{step.lesson.title} ({step.lesson.name})"
        why = "; ".join(f"{term.words} {term.points:g}" for term in terms(step.lesson))
        yield f"     difficulty {difficulty(step.lesson):g}: {why}"
        yield f"     new: {', '.join(step.new) or 'nothing'}"
    groups = {
        "Used before a lesson names it": [
            f"{one.thing}: used in {one.used.name}, named in {one.taught.name}"
            for one in ordering.used_early(lessons)
        ],
        "Never used": [", ".join(ordering.never_taught(lessons)) or "nothing"],
        "Licks that come again": [
            f"{one.first.name} bar {one.first_bar}, {one.second.name} bar {one.second_bar}"
            for one in ordering.twins(lessons)
        ],
    }
    if minutes:
        groups[f"Practice, {minutes} minutes a day"] = [
            f"day {day.number}: {day.lesson.title} {day.minutes} min"
            + (f", again {day.review.title} {day.review_minutes} min" if day.review else "")
            for day in ordering.practice(steps, minutes)
        ]
    for name, lines in groups.items():
        yield ""
        yield heading(name)
        yield from (f"{item}{line}" for line in lines or ["nothing"])


def _json(lessons: Sequence[Facts], minutes: int | None) -> dict[str, Any]:
    from tabtools.course import ordering
    from tabtools.course.difficulty import difficulty, terms

    steps = ordering.ordered(lessons)
    days = ordering.practice(steps, minutes) if minutes else ()
    return {
        "format": "tabtools-course",
        "version": 1,
        "lessons": [
            {
                "file": lesson.name,
                "title": lesson.title,
                "uses": list(lesson.things),
                "names": list(lesson.named),
                "bars": lesson.bars,
                "difficulty": difficulty(lesson),
                "terms": [term._asdict() for term in terms(lesson)],
            }
            for lesson in lessons
        ],
        "order": [{"file": step.lesson.name, "new": list(step.new)} for step in steps],
        "first_used": {thing: lesson.name for thing, lesson in ordering.first_places(lessons).items()},
        "used_early": [
            {"thing": one.thing, "used": one.used.name, "named": one.taught.name}
            for one in ordering.used_early(lessons)
        ],
        "never_used": list(ordering.never_taught(lessons)),
        "licks_again": [
            {"file": t.first.name, "bar": t.first_bar, "again_in": t.second.name, "again_bar": t.second_bar}
            for t in ordering.twins(lessons)
        ],
        "practice": [
            {
                "day": day.number,
                "file": day.lesson.name,
                "minutes": day.minutes,
                "again": day.review.name if day.review else None,
                "again_minutes": day.review_minutes,
            }
            for day in days
        ],
    }
