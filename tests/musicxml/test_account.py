"""Every element has one owner, and what a score cannot hold is told; names from the MusicXML 4.0 XSD."""

from __future__ import annotations

from pathlib import Path

import pytest
from lxml import etree

from tabtools.account import OWNERS, UNKNOWN
from tabtools.lint.examples import LESSON, changed
from tabtools.musicxml.account import owner, unheld, unknown
from tabtools.musicxml.located import Located
from tabtools.musicxml.names import ELEMENTS
from tabtools.musicxml.reader import read_musicxml
from tests.musicxml.instances import element_names, instance

_CASES = Path(__file__).parents[1] / "cases" / "musicxml"
_FILES = sorted(_CASES.rglob("*.musicxml"))


def _located(data: bytes) -> Located:
    located = read_musicxml("x", data).located
    assert located is not None
    return located


def test_the_names_are_those_of_the_schema() -> None:
    assert element_names() == ELEMENTS


@pytest.mark.parametrize("path", _FILES, ids=lambda path: path.stem)
def test_every_element_of_a_valid_file_has_an_owner(path: Path) -> None:
    located = _located(path.read_bytes())
    assert {owner(element) for element in located.tree.iter("*")} <= OWNERS.keys() - {UNKNOWN}
    assert list(unknown(located)) == []


@pytest.mark.parametrize("seed", range(4))
def test_every_element_that_the_schema_allows_has_an_owner(seed: int) -> None:
    located = _located(instance(seed))
    assert UNKNOWN not in {owner(element) for element in located.tree.iter("*")}
    assert list(unknown(located)) == []


def test_a_name_with_a_slip_belongs_to_nobody() -> None:
    located = _located(
        changed("<type>half</type>", '<type sise="cue">half</type><dott><dot/></dott>').encode()
    )
    assert [names for _, names in unknown(located)] == ["sise", "<dott>"]
    assert [str(e.tag) for e in located.tree.iter("*") if owner(e) == UNKNOWN] == ["dott"]


def test_what_a_score_has_no_place_for_is_counted() -> None:
    lyric, slur = "<lyric><text>la</text></lyric>", '<notations><slur type="start"/><fermata/></notations>'
    text = LESSON.replace("<staff>1</staff>", f"<staff>1</staff>{slur}{lyric}", 1)
    assert dict(unheld(_located(text.encode()))) == {"lyrics": 1, "slurs": 1, "fermatas": 1}
    assert unheld(_located(etree.tostring(etree.fromstring(LESSON.encode())))) == {}
