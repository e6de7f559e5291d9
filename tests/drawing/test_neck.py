"""Necks, by their geometry."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest

from tabtools.drawing.neck import Dot, neck_picture, printed_degree, role_of_degree
from tabtools.drawing.shapes import ROLES, Picture
from tests.drawing.overlaps import overlaps

# Chord diagrams of others, with their licence: tests/cases/fingering/README.md.
_DIAGRAMS = Path(__file__).parents[1] / "cases" / "fingering" / "chordforms.csv"
_GUITAR = ("E", "B", "G", "D", "A", "E")
_PLACE = re.compile(r'data-p="(\d+)\.(\d+)"')


def _middles(picture: Picture) -> dict[tuple[int, int], tuple[float, float]]:
    """The middle of each note's mark, by string and fret."""
    marks = {}
    for shape in picture.shapes:
        if match := _PLACE.search(shape.svg):
            box = shape.box
            marks[int(match[1]), int(match[2])] = ((box.left + box.right) / 2, (box.top + box.bottom) / 2)
    return marks


def _wires(picture: Picture) -> list[float]:
    """The upright lines, from left to right."""
    boxes = [shape.box for shape in picture.shapes if shape.kind == "line" and "barre" not in shape.svg]
    return sorted({box.left for box in boxes if box.left == box.right and box.bottom - box.top > 60})


def _diagrams() -> list[tuple[list[int | None], list[str]]]:
    with _DIAGRAMS.open(encoding="utf-8", newline="") as file:
        rows = [line for line in file if not line.startswith("#")]
    diagrams = []
    for row in csv.DictReader(rows):
        frets = [None if fret == "x" else int(fret) for fret in row["frets_low_to_high"].split()]
        diagrams.append((frets, row["fingers_low_to_high"].split()))
    return diagrams[::5]


def test_published_diagrams_lie_where_their_frets_say_and_nothing_overlaps() -> None:
    diagrams = _diagrams()
    assert len(diagrams) > 200
    for frets, fingers in diagrams:
        dots = [
            Dot(6 - place, fret, "R", "root", finger if finger not in ("0", "x") else None)
            for place, (fret, finger) in enumerate(zip(frets, fingers, strict=True))
            if fret is not None
        ]
        muted = [6 - place for place, fret in enumerate(frets) if fret is None]
        picture = neck_picture(dots, _GUITAR, muted=muted)
        middles, wires = _middles(picture), _wires(picture)
        low = min([fret for fret in frets if fret] or [1])
        if low <= 2 and max(fret or 0 for fret in frets) <= 5:
            low = 1
        for dot in dots:
            x, y = middles[dot.string, dot.fret]
            assert sum(wire < x for wire in wires) == (dot.fret - low + 1 if dot.fret else 0)
            assert y == pytest.approx(
                middles[dots[0].string, dots[0].fret][1] + 17 * (dot.string - dots[0].string)
            )
        assert [*overlaps(picture)] == []
        assert sum("\N{MULTIPLICATION SIGN}" in shape.svg for shape in picture.shapes) == len(muted)


def test_a_left_handed_neck_is_the_mirror_image() -> None:
    dots = [Dot(1, 5, "5", "fifth"), Dot(5, 7, "R", "root"), Dot(4, 0, "3", "third")]
    right, left = (neck_picture(dots, _GUITAR, left_handed=way) for way in (False, True))
    assert right.width == left.width
    for place, (x, y) in _middles(right).items():
        assert _middles(left)[place] == pytest.approx((right.width - x, y))


def test_the_nut_is_drawn_where_it_is_in_sight() -> None:
    assert '"nut"' in neck_picture([Dot(2, 1, "R")], _GUITAR).svg("x")
    assert '"nut"' not in neck_picture([Dot(2, 7, "R")], _GUITAR).svg("x")


def test_roles_differ_in_shape_as_in_colour() -> None:
    paths = {
        re.sub(
            r"[\d.]+",
            "",
            "".join(s.svg for s in neck_picture([Dot(1, 3, "", role)], _GUITAR).shapes if s.kind == "mark"),
        )
        for role in ROLES
    }
    assert len(paths) == len(ROLES)


def _luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    digits = colour.lstrip("#")
    pairs = [digits[i : i + 2] for i in (0, 2, 4)] if len(digits) == 6 else [digit * 2 for digit in digits]
    linear = [
        value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4
        for value in (int(pair, 16) / 255 for pair in pairs)
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_white_letters_can_be_read_on_every_colour() -> None:
    # Contrast of 4.5 to 1: WCAG 2.2, success criterion 1.4.3.
    assert all(1.05 / (_luminance(colour) + 0.05) >= 4.5 for colour in ROLES.values())


@pytest.mark.parametrize(
    ("degree", "role", "words"),
    [
        ("1", "root", "R"),
        ("b3", "third", "\N{MUSIC FLAT SIGN}3"),
        ("#5", "fifth", "\N{MUSIC SHARP SIGN}5"),
        ("6", "other", "6"),
    ],
)
def test_degrees(degree: str, role: str, words: str) -> None:
    assert (role_of_degree(degree), printed_degree(degree)) == (role, words)
