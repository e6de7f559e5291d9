"""The sample lessons, group by group: what a teacher names, read and agreed with by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from tabtools.forms.naming import name_forms
from tabtools.forms.segments import Segment
from tabtools.forms.words import anchor_words, segment_words
from tabtools.reading import read
from tests.forms.cases import DIRECTORY

_SAMPLES = Path(__file__).parents[2] / "samples"
_TABLE = (DIRECTORY / "samples.txt").read_text("utf-8")


def _row(segment: Segment) -> str:
    """Bars, notes as string:fret (in brackets outside the form), name, and the root that sounds."""
    first, last = segment.notes[0].bar.number, segment.notes[-1].bar.number
    bars = str(first) if first == last else f"{first}-{last}"
    notes = " ".join(
        f"{n.note.string}:{n.note.fret}" if n.member else f"({n.note.string}:{n.note.fret})"
        for n in segment.notes
    )
    name = segment_words(segment) or "run"
    root = f" = {segment.reading.symbol}" if segment.kind == "form" and segment.reading else ""
    equal = "".join(f", or {anchor_words(other)}" for other in segment.equal_readings)
    return f"{bars:<4} {name}{equal}{root} | {notes}"


def _lessons() -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for line in _TABLE.splitlines():
        if line.startswith("== "):
            found[line[3:]] = []
        elif line and not line.startswith("#"):
            found[list(found)[-1]].append(line)
    return found


_LESSONS = _lessons()


def test_every_lesson_is_in_the_table() -> None:
    assert set(_LESSONS) == {path.name for path in _SAMPLES.iterdir() if path.name[0].isdigit()}


@pytest.mark.parametrize("name", _LESSONS)
def test_every_group_has_the_form_that_a_teacher_names(name: str) -> None:
    segments = name_forms(read(name, (_SAMPLES / name).read_bytes()).score)
    assert [_row(segment) for segment in segments] == _LESSONS[name]
