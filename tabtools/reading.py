"""The bytes of a file to a document: text tab or MusicXML, told by what they hold."""

from __future__ import annotations

from tabtools.document import NO_DEFAULTS, Defaults, Document
from tabtools.instrument import usual_scale_length
from tabtools.score import Instrument, Part
from tabtools.source import MAX_BYTES, Source, decode

HEAD = 4096
XML_STARTS = (b"<?xml", b"<!DOCTYPE score-")
MUSICXML_ROOTS = (b"<score-partwise", b"<score-timewise")


def read(name: str, data: bytes, defaults: Defaults = NO_DEFAULTS) -> Document:
    """The document that a file's bytes hold; ``name`` is what findings call it, and ``defaults`` what holds
    where the file says nothing.

    Raises UnreadableError for what is neither tab nor MusicXML, with the reason and the place.
    """
    if looks_like_musicxml(data):
        from tabtools.musicxml.reader import read_musicxml

        return _with_neck(read_musicxml(name, data, defaults.max_bytes), defaults)
    from tabtools.text.reader import read_text

    return _with_neck(read_text(decode(name, data, defaults.max_bytes), defaults), defaults)


def source_of(name: str, data: bytes, limit: int = MAX_BYTES) -> Source:
    """The text that a file's bytes hold, as the document that `read` makes has it."""
    if looks_like_musicxml(data):
        from tabtools.musicxml.reader import read_source

        return read_source(name, data, limit)
    return decode(name, data, limit)


def _with_neck(document: Document, defaults: Defaults) -> Document:
    """No file says how many frets the neck has and how long its strings are."""
    parts = tuple(_part_on_neck(part, defaults) for part in document.score.parts)
    return document._replace(score=document.score._replace(parts=parts))


def _part_on_neck(part: Part, defaults: Defaults) -> Part:
    bars = tuple(
        bar if bar.instrument is None else bar._replace(instrument=_on_neck(bar.instrument, defaults))
        for bar in part.bars
    )
    return part._replace(instrument=_on_neck(part.instrument, defaults), bars=bars)


def _on_neck(instrument: Instrument, defaults: Defaults) -> Instrument:
    return instrument._replace(
        frets=defaults.frets or instrument.frets,
        scale_length=defaults.scale_length or usual_scale_length(instrument),
    )


def looks_like_musicxml(data: bytes) -> bool:
    """Whether bytes are a MusicXML file or package, from how they begin, not from a name."""
    if data.startswith((b"PK\x03\x04", b"PK\x05\x06")):
        return True
    head = data[:HEAD].replace(b"\0", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n")
    return head.startswith(XML_STARTS) or (head.startswith(b"<") and holds_root(head))


def holds_root(head: bytes) -> bool:
    """Whether the first bytes of an XML file name the root element of a score."""
    return any(root in head.replace(b"\0", b"") for root in MUSICXML_ROOTS)
