"""A timewise file as the partwise one that says the same."""

from __future__ import annotations

from lxml import etree

from tabtools.document import Document
from tabtools.source import Source

PROLOG = (
    '<?xml version="1.0" encoding="UTF-8" standalone="no"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN"'
    ' "http://www.musicxml.org/dtds/partwise.dtd">\n'
)


def is_timewise(document: Document) -> bool:
    """Whether the text of a MusicXML document goes bar by bar, where its tree goes part by part."""
    return "<score-timewise" in document.source.text


def partwise(document: Document) -> Source:
    """The text of a document's tree, which is partwise, in UTF-8."""
    assert document.tree is not None
    text = etree.tostring(document.tree.getroot(), encoding="unicode", with_tail=False)
    return document.source._replace(text=f"{PROLOG}{text}\n", encoding="utf-8", bom=b"")
