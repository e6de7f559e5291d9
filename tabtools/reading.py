"""The bytes of a file to a document: text tab or MusicXML, told by what they hold."""

from __future__ import annotations

from tabtools.document import Document
from tabtools.source import decode

HEAD = 4096
MUSICXML_ROOTS = (b"<score-partwise", b"<score-timewise")


def read(name: str, data: bytes) -> Document:
    """The document that a file's bytes hold; ``name`` is what findings call it.

    Raises UnreadableError for what is neither tab nor MusicXML, with the reason and the place.
    """
    if looks_like_musicxml(data):
        from tabtools.musicxml.reader import read_musicxml

        return read_musicxml(name, data)
    from tabtools.text.reader import read_text

    return read_text(decode(name, data))


def looks_like_musicxml(data: bytes) -> bool:
    """Whether bytes are a MusicXML file or package, from how they begin, not from a name."""
    if data.startswith(b"PK\x03\x04"):
        return True
    head = data[:HEAD].replace(b"\0", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n")
    return head.startswith(b"<?xml") or (head.startswith(b"<") and holds_root(head))


def holds_root(head: bytes) -> bool:
    """Whether the first bytes of an XML file name the root element of a score."""
    return any(root in head.replace(b"\0", b"") for root in MUSICXML_ROOTS)
