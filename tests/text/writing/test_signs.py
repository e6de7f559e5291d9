"""Every sign that is listed is read as what it is said to be."""

from __future__ import annotations

import pytest

from tabtools.source import Source
from tabtools.techniques import BY_NAME, TECHNIQUES
from tabtools.text.reader import read_text
from tabtools.text.writing.signs import STANDS, Sign, signs

_LISTED = {sign.name: sign for sign in signs()}
_ROWS = ["e", "B", "G", "D", "A", "E"]


def _page(over: str, cell: str) -> str:
    """A bar with a cell on string 2, or a mark over four notes there."""
    content = "--" + (cell or "5-5-5-5")
    width = len(content) + 8
    rows = [f"{label}|{(content if label == 'B' else '').ljust(width, '-')}|\n" for label in _ROWS]
    return (f"    {over}\n" if over else "") + "".join(rows)


def _played(page: str) -> set[str]:
    (part,) = read_text(Source("page", page)).score.parts
    notes = [note for bar in part.bars for event in bar.events for note in event.notes]
    graces = {"grace"} if any(event.grace for bar in part.bars for event in bar.events) else set()
    ties = {"tie"} if any(note.tied for note in notes) else set()
    dead = {"dead"} if any(note.fret is None for note in notes) else set()
    return {technique.name for note in notes for technique in note.techniques} | graces | ties | dead


def test_every_technique_is_listed_once() -> None:
    names = [sign.name for sign in signs()]
    assert len(set(names)) == len(names)
    assert {kind.name for kind in TECHNIQUES} <= set(names)
    assert [sign.stands for sign in signs()] == sorted((s.stands for s in signs()), key=STANDS.index)


@pytest.mark.parametrize("name", BY_NAME)
def test_an_example_reads_as_its_technique(name: str) -> None:
    sign: Sign = _LISTED[name]
    over = sign.example if sign.stands == "over the strings" else ""
    assert _played(_page(over, "" if over else sign.example)) == {name}


@pytest.mark.parametrize(
    ("name", "also"), [(kind.name, mark) for kind in TECHNIQUES for mark in _LISTED[kind.name].also]
)
def test_other_ways_to_type_it_read_the_same(name: str, also: str) -> None:
    shapes = ("5{}7", "7{}5", "{}5", "5{}", "5{}7r5")
    tries = [shape.format(also) for shape in shapes]
    pages = [_page("", cell) for cell in tries] + [_page(f"{also}----|", ""), _page(also, "")]
    assert any(_played(page) >= {name} for page in pages), also
