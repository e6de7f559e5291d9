"""Systems as they are drawn: nothing on anything else, and notes where the engraver put them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings

from tabtools.reading import read
from tabtools.score import Part, Score, TimeSignature
from tabtools.theory.respelling import respell
from tests.drawing.overlaps import overlaps
from tests.strategies import parts

pytest.importorskip("verovio", reason="the extra [sheet] is not installed")

from tabtools.sheet.notation import engrave
from tabtools.sheet.systems import STAVES, draw_passage

_TESTS = Path(__file__).parents[1]
_SAMPLES = sorted((_TESTS.parent / "samples").glob("*[0-9]*"))
_WILD = sorted((_TESTS / "cases" / "wild").glob("*.txt"))
_ELEMENTS = sorted((_TESTS / "cases" / "musicxml" / "elements").glob("*.musicxml"))
WIDE, NARROW = 680, 330


def _score(path: Path) -> Score:
    return respell(read(path.name, path.read_bytes()).score)


def _faults(part: Part, width: float, staves: str) -> list[str]:
    drawn = draw_passage(part, 0, len(part.bars), width, staves)
    return [fault for picture in drawn.pictures for fault in overlaps(picture)]


@pytest.mark.parametrize("path", _SAMPLES + _WILD + _ELEMENTS, ids=lambda path: path.name)
def test_nothing_stands_on_anything_else(path: Path) -> None:
    for part in _score(path).parts:
        for width, staves in ((WIDE, "both"), (NARROW, "both"), (WIDE, "tab")):
            assert not part.bars or _faults(part, width, staves) == []


@settings(
    max_examples=100,
    deadline=None,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=list(HealthCheck),
)
@given(parts())
def test_nothing_stands_on_anything_else_on_random_pages(part: Part) -> None:
    assert _faults(_first_voice(part), WIDE, "both") == []


def _first_voice(part: Part) -> Part:
    """A random second voice takes strings that sound already, which no hand can play."""
    bars = (bar._replace(events=tuple(e for e in bar.events if e.voice == 1)) for bar in part.bars)
    return part._replace(bars=tuple(bars))


@pytest.mark.parametrize("path", _SAMPLES, ids=lambda path: path.name)
def test_every_note_has_its_number_under_its_head(path: Path) -> None:
    for part in _score(path).parts:
        for system in engrave(part, WIDE).systems:
            heads = re.findall(r' x="(-?\d+)" y="-?\d+" data-n="(\S+)"', system.shapes[0].svg)
            names = {name: float(x) for x, name in heads}
            for column in system.places.columns:
                first = names[column.key(0)] * 7 / 180
                # A head is a staff space and a fifth wide (Leipzig's metadata of E0A4: 314 of 250 units).
                assert column.x - first == pytest.approx(4.4, abs=2.6)


def test_every_struck_note_is_in_the_notation_and_on_the_tab_once() -> None:
    for path in _SAMPLES:
        for part in _score(path).parts:
            drawn = draw_passage(part, 0, len(part.bars), WIDE, "both")
            names = re.findall(r'data-n="(\S+)"', "".join(p.svg("x") for p in drawn.pictures))
            wanted = [
                f"{b}.{e}.{n}"
                for b, bar in enumerate(part.bars)
                for e, event in enumerate(bar.events)
                for n in range(len(event.notes))
            ]
            assert sorted(names) == sorted(wanted * 2)


@pytest.mark.parametrize("staves", STAVES)
def test_the_staves_that_are_asked_for(staves: str) -> None:
    (part, *_) = _score(_SAMPLES[0]).parts
    picture = draw_passage(part, 0, len(part.bars), WIDE, staves).pictures[0].svg("x")
    assert ('class="notation"' in picture) == (staves != "tab")
    assert ('class="fret"' in picture) == (staves != "notation")
    assert ('class="stem"' in picture.partition("</style>")[2].replace("tempo", "")) or staves != "tab"


def test_a_tab_staff_that_stands_alone_says_its_metre_where_it_changes() -> None:
    (part, *_) = _score(_SAMPLES[0]).parts
    bars = [
        bar._replace(time=TimeSignature(3, 4), events=()) if n == 2 else bar
        for n, bar in enumerate(part.bars)
    ]
    drawn = draw_passage(part._replace(bars=tuple(bars)), 0, 4, WIDE, "tab").pictures
    metres = re.findall(r'class="metre"[^>]*>(\d+)<', "".join(picture.inline("x") for picture in drawn))
    assert metres == ["4", "4", "3", "4", "4", "4"]
