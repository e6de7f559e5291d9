"""What is easy to get wrong in MusicXML, a file each, with its reading beside it.

The files are our own bars. What each must give follows from the documentation of the element or type in the
MusicXML 4.0 final report (W3C Music Notation Community Group, June 2021); the comment at its top says what.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tabtools.musicxml.reader import read_musicxml
from tabtools.reading import read
from tests.musicxml.rendering import rendered
from tests.xsd import problems

_CASES = sorted((Path(__file__).parents[1] / "cases" / "musicxml").glob("*.musicxml"))


@pytest.mark.parametrize("path", _CASES, ids=lambda path: path.stem)
def test_a_case_is_read_as_expected(path: Path) -> None:
    document = read_musicxml(path.name, path.read_bytes())
    assert rendered(document) == path.with_suffix(".txt").read_text("utf-8")


@pytest.mark.parametrize("path", _CASES, ids=lambda path: path.stem)
def test_a_case_is_valid(path: Path) -> None:
    """Valid for the schema, so that the case is a fair one; one that is not says so in its name."""
    assert bool(problems(path.read_bytes())) == path.stem.startswith("old-")


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be", "utf-8-sig"])
def test_a_case_reads_the_same_in_every_encoding(encoding: str) -> None:
    path = next(path for path in _CASES if path.stem == "marks")
    text = path.read_text("utf-8").replace("UTF-8", encoding.removesuffix("-sig"))
    assert rendered(read(path.name, text.encode(encoding))) == path.with_suffix(".txt").read_text("utf-8")
