"""Necks of forms, boxes and palettes, and the commands that write them."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from tabtools.drawing.necks import first_pictures, gallery
from tabtools.forms.naming import name_forms
from tabtools.reading import read
from tests.cli.support import run
from tests.drawing.overlaps import overlaps

_SAMPLES = sorted((Path(__file__).parents[2] / "samples").glob("[01]*"))


@pytest.mark.parametrize("path", _SAMPLES, ids=lambda path: path.stem)
def test_every_form_of_a_sample_is_drawn_once_and_nothing_overlaps(path: Path) -> None:
    score = read(path.name, path.read_bytes()).score
    for left_handed in (False, True):
        named = list(first_pictures(score, name_forms(score), left_handed=left_handed))
        captions = [(segment.part, words) for segment, words, _ in named]
        assert len(set(captions)) == len(captions)
        if named:
            assert [*overlaps(gallery([(words, picture) for _, words, picture in named]))] == []


def _frets(path: Path) -> set[tuple[int, int]]:
    """String and fret of all notes in a picture that was written."""
    ElementTree.parse(path)
    return {(int(s), int(f)) for s, f in re.findall(r'data-p="(\d+)\.(\d+)"', path.read_text("utf-8"))}


def test_nearest_forms_as_a_picture(tmp_path: Path) -> None:
    picture = tmp_path / "pictures" / "g.svg"
    assert run("nearest", "G", "--at", "3", "-o", picture).exit_code == 0
    # The E form of G: 3 5 5 4 3 3 (tests/cases/forms/reference.json).
    assert {(6, 3), (5, 5), (4, 5), (3, 4), (2, 3), (1, 3)} <= _frets(picture)


def test_a_palette_as_a_picture(tmp_path: Path) -> None:
    picture = tmp_path / "colours.svg"
    assert run("palette", "--key", "G", "G", "C", "D", "--at", "3", "-o", picture).exit_code == 0
    assert _frets(picture) == {(5, 3), (3, 5), (6, 2), (4, 4), (2, 7), (1, 2)}


def test_forms_as_a_picture(tmp_path: Path) -> None:
    picture = tmp_path / "forms.svg"
    assert run("forms", _SAMPLES[1], "-o", picture).exit_code == 0
    assert len(re.findall('class="caption"', picture.read_text("utf-8"))) >= 6


def test_a_picture_is_named_as_one(tmp_path: Path) -> None:
    result = run("nearest", "G", "--at", "3", "-o", tmp_path / "g.png")
    assert result.exit_code == 2
    assert "does not end in .svg" in result.stderr
    assert list(tmp_path.iterdir()) == []


def test_where_nothing_is_to_be_drawn_nothing_is_written(tmp_path: Path) -> None:
    result = run("palette", "--key", "G", "G", "-o", tmp_path / "none.svg", "--scale", "major")
    assert result.exit_code == 2
    assert list(tmp_path.iterdir()) == []
