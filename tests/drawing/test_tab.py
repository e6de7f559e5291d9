"""The tab staff, by its geometry, on places of our own."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tabtools.drawing.bends import amount_words
from tabtools.drawing.frets import STEP, fret_words, fret_y
from tabtools.drawing.joins import joins
from tabtools.drawing.places import BarPlace, Column, SystemPlaces
from tabtools.drawing.shapes import Shape
from tabtools.drawing.tab import tab_staff
from tabtools.score import Bar, Event, Note, Technique

_QUARTER = Fraction(1)


def _note(
    string: int, fret: int | None, *names: str, value: int | None = None, finger: str | None = None
) -> Note:
    amount = None if value is None else Fraction(value)
    return Note(string, fret, None, tuple(Technique(name, amount) for name in names), finger)


def _places(*moments: tuple[Note, ...], **changes: object) -> SystemPlaces:
    """One bar of quarter notes, 40 pixels apart from 60 on."""
    events = tuple(Event(Fraction(place), _QUARTER, notes) for place, notes in enumerate(moments))
    bar = Bar(1, events=events)._replace(**changes)  # type: ignore[arg-type]
    right = 60.0 + 40 * len(events)
    columns = tuple(
        Column(0, place, 60.0 + 40 * place, 100.0 + 40 * place, event) for place, event in enumerate(events)
    )
    return SystemPlaces(0, right, 40, (BarPlace(0, bar, 0, right, 40),), columns)


def _staff(places: SystemPlaces, strings: int = 6, *, stems: bool = False) -> list[Shape]:
    return tab_staff(places, strings, joins((places.bars[0].bar,)), stems=stems)


def _having(shapes: list[Shape], words: str) -> list[Shape]:
    return [shape for shape in shapes if words in shape.svg]


@pytest.mark.parametrize("strings", [3, 4, 6, 7, 12])
def test_each_number_stands_in_the_middle_of_its_column_and_string(strings: int) -> None:
    places = _places(*(((_note(string, 10 + string),)) for string in range(1, strings + 1)))
    shapes = _staff(places, strings)
    for column in places.columns:
        (shape,) = _having(shapes, f'data-n="0.{column.event}.0"')
        assert (shape.box.left + shape.box.right) / 2 == pytest.approx(column.x)
        assert (shape.box.top + shape.box.bottom) / 2 == pytest.approx(fret_y(column.event + 1))
    (lines,) = [shape for shape in shapes if shape.kind == "staff"]
    assert lines.box[1:] == (0, places.right, (strings - 1) * STEP)


def test_strings_stop_at_their_numbers() -> None:
    (lines,) = [shape for shape in _staff(_places((_note(2, 7),))) if shape.kind == "staff"]
    assert lines.svg.count("M") == 7


@pytest.mark.parametrize(
    ("note", "words"),
    [
        (_note(1, 12, "harmonic"), "<12>"),
        (_note(1, 12, "artificial"), "[12]"),
        (_note(1, None, "dead"), "x"),
        (_note(1, 3, "ghost"), "(3)"),
        (_note(1, 3)._replace(tied=True), "(3)"),
    ],
)
def test_what_stands_on_the_string(note: Note, words: str) -> None:
    assert fret_words(note) == words


@pytest.mark.parametrize(
    ("semitones", "words"),
    [("2", "full"), ("1", "½"), ("1/2", "¼"), ("3", "1½"), ("4", "2"), ("3/2", "¾"), ("1/3", "0.166667")],
)
def test_bends_are_named_in_whole_tones(semitones: str, words: str) -> None:
    # Common practice, no source.
    assert amount_words(Fraction(semitones)) == words


def test_a_bend_rises_over_the_staff_and_a_release_comes_back() -> None:
    bend, release = (_staff(_places((_note(3, 7, name, value=2),)))[-9:] for name in ("bend", "bend-release"))
    assert min(shape.box.top for shape in bend) < -10
    assert len(_having(release, "Z")) == len(_having(bend, "Z")) + 1


def test_joins_reach_from_number_to_number() -> None:
    shapes = _staff(_places((_note(2, 5),), (_note(2, 8, "hammer"),), (_note(2, 6, "slide"),)))
    (letter,) = _having(shapes, ">H<")
    assert (letter.box.left + letter.box.right) / 2 == pytest.approx(80, abs=4)
    (slide,) = [s for s in shapes if s.kind == "mark" and s.box.left > 100 and s.box.right < 140]
    assert slide.box.top < fret_y(2) < slide.box.bottom


def test_a_join_that_began_in_the_system_before_comes_from_the_left() -> None:
    before, after = (
        Bar(1, events=(Event(Fraction(0), _QUARTER, (_note(1, 5),)),)),
        _places((_note(1, 7, "pull"),)),
    )
    bars = (before, after.bars[0].bar)
    places = after._replace(bars=(after.bars[0]._replace(at=1),), columns=(after.columns[0]._replace(bar=1),))
    assert len(_having(tab_staff(places, 6, joins(bars)), ">P<")) == 1


def test_spans_reach_over_the_notes_that_share_them() -> None:
    muted = (_note(6, 0, "palm-mute"),)
    shapes = _staff(_places((_note(6, 0),), muted, muted, (_note(6, 3),)))
    (dashes,) = _having(shapes, "dashed")
    assert 100 < dashes.box.left < dashes.box.right < 180


def test_fingers_stand_under_the_staff_the_highest_string_first() -> None:
    shapes = _staff(_places((_note(2, 5, finger="3"), _note(4, 5, finger="1"))))
    third, first = (next(s for s in _having(shapes, 'class="finger"') if f">{f}<" in s.svg) for f in "31")
    assert fret_y(6) < third.box.top < third.box.bottom <= first.box.top


def test_repeat_signs_have_their_dots() -> None:
    shapes = _staff(_places((_note(1, 1),), repeat_start=True, repeat_times=2))
    assert sorted(shape.box.top > 25 for shape in _having(shapes, "circle")) == [False, False, True, True]


def test_beams_join_the_stems_of_a_beat() -> None:
    eighths = tuple(Event(Fraction(place, 2), Fraction(1, 2), (_note(1, place),)) for place in range(4))
    places = _places(*((event.notes) for event in eighths))
    bar = places.bars[0].bar._replace(events=eighths)
    columns = tuple(c._replace(written=e) for c, e in zip(places.columns, eighths, strict=True))
    shapes = _staff(places._replace(bars=(places.bars[0]._replace(bar=bar),), columns=columns), stems=True)
    assert len(_having(shapes, '"stem"')) == 4
    assert [s.box.right - s.box.left for s in shapes if s.box.top > 60 and "ink" in s.svg] == [41, 41]
