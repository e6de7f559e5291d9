"""Small scores with every element of MusicXML 4.0 as it is meant to be used, family by family.

Our own bars, after the reference pages and the schema of the MusicXML 4.0 final report (W3C Music Notation
Community Group, June 2021), from memory; the schema says that they are valid, and music21 what they sound.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from lxml import etree

from tabtools.lint.engine import check
from tabtools.lint.finding import Severity
from tabtools.lint.rules import load_all
from tabtools.musicxml.reader import read_musicxml
from tabtools.preparing import Wishes, prepared
from tests.benchmarks.agreement import compare
from tests.musicxml.instances import element_names
from tests.musicxml.mending import mended
from tests.xsd import problems

_FILES = sorted((Path(__file__).parents[1] / "cases" / "musicxml" / "elements").glob("*.musicxml"))
# These judge the music, and some of these bars are no good music.
_OF_MUSIC = {"key-disagrees", "odd-spelling", "outside-harmony"}
_BOTH = Wishes(both_staves=True, fit_octave=True)

every_file = pytest.mark.parametrize("path", _FILES, ids=lambda path: path.stem)


def test_every_element_of_the_schema_stands_in_a_file() -> None:
    used = {str(e.tag) for path in _FILES for e in etree.fromstring(path.read_bytes()).iter()}
    assert used >= element_names()


@every_file
def test_it_is_read_and_kept(path: Path) -> None:
    data = path.read_bytes()
    assert problems(data) == []
    source = read_musicxml(path.name, data).source
    assert source.encode(source.text) == data


@every_file
def test_nothing_in_it_is_called_a_fault(path: Path) -> None:
    document = read_musicxml(path.name, path.read_bytes())
    assert mended(document).made == ()
    bad = [f for f in check(document, load_all()) if f.severity >= Severity.WARNING]
    assert [f.message for f in bad if f.rule not in _OF_MUSIC] == []


def _told(data: bytes) -> Iterator[tuple[str, str]]:
    """Every element and its text, but the number of staves, which grows."""
    for element in etree.fromstring(data).iter("*"):
        yield str(element.tag), "" if element.tag == "staves" else (element.text or "").strip()


@every_file
def test_with_both_staves_it_is_valid_and_keeps_all_it_had(path: Path) -> None:
    """All that the file held is there, in its order, with more between."""
    document = read_musicxml(path.name, path.read_bytes())
    made, _ = prepared(document, _BOTH)
    data = made.source.encode(made.source.text)
    assert problems(data) == []
    if document.source.text.count("<score-timewise"):
        return
    rest = _told(data)
    shifts = {"octave"}  # and notes are moved into the instrument's range
    before = [told for told in _told(path.read_bytes()) if told[0] not in shifts]
    assert [told for told in before if told not in rest] == []


@every_file
def test_it_sounds_as_music21_reads_it(path: Path) -> None:
    """Every difference has a reason that the file itself gives."""
    music21 = pytest.importorskip("music21")
    if b"<score-timewise" in path.read_bytes():
        with pytest.raises(music21.musicxml.xmlToM21.MusicXMLImportException):
            compare(path, path.name)
        return
    _, differences = compare(path, path.name)
    assert [str(d) for d in differences if d.reason == "no reason found"] == []
