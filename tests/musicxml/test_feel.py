"""How notes are felt: the ``swing`` of MusicXML 4.0, a child of ``sound``, beside its words."""

from __future__ import annotations

import pytest
from lxml import etree

from tabtools.musicxml.writer import write_musicxml
from tabtools.source import Source
from tabtools.text.reader import read_text

PAGE = "{}\nTime: 2/4\n\ne|-5-8-5-8-|-5---8---|\nB|---------|---------|\n"


@pytest.mark.parametrize(
    ("words", "children"),
    [
        ("Swing feel", ["first 2", "second 1", "swing-type eighth"]),
        ("Rhythm: shuffle sixteenths", ["first 2", "second 1", "swing-type 16th"]),
        ("Straight eighths, q = 100", ["straight"]),
        ("Half-time feel", None),
    ],
)
def test_feel_is_written_once(words: str, children: list[str] | None) -> None:
    tree = etree.fromstring(write_musicxml(read_text(Source("page.txt", PAGE.format(words))).score))
    found = [[f"{child.tag} {child.text or ''}".strip() for child in swing] for swing in tree.iter("swing")]
    assert found == ([] if children is None else [children])
    assert (
        sum(element.text in ("Swing", "Shuffle", "Straight", "Half-time") for element in tree.iter("words"))
        == 1
    )
