"""Bytes to text and tree: any encoding that the file declares, no entities, nothing fetched."""

from __future__ import annotations

import re
from typing import Any

from lxml import etree

from tabtools.source import BOMS, MAX_BYTES, Source, UnreadableError, too_large

_DECLARED = re.compile(rb"<\?xml[^>]*?encoding\s*=\s*[\"']([A-Za-z][\w.:-]*)[\"']")


def decode(name: str, data: bytes, limit: int = MAX_BYTES) -> Source:
    """The text of an XML file by its byte order mark, else by its declaration, else as UTF-8.

    Raises UnreadableError for a file over ``limit`` bytes, an empty one, an encoding that is not known, and
    bytes that do not fit the encoding.
    """
    if len(data) > limit:
        raise too_large(len(data))
    if not data or data.isspace():
        raise UnreadableError("the file is empty: there is nothing to read")
    bom, encoding = next(((b, e) for b, e in BOMS if data.startswith(b)), (b"", _declared(data)))
    try:
        return Source(name, data[len(bom) :].decode(encoding), encoding, bom)
    except LookupError:
        raise UnreadableError(f"the file declares the encoding {encoding}, which is not known") from None
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, len(bom) + error.start) + 1
        raise UnreadableError(
            f"byte {error.start} does not fit the encoding {encoding}: save the file as UTF-8, "
            "or correct the encoding in its first line",
            line,
        ) from None


def _declared(data: bytes) -> str:
    if data.startswith(b"<\0"):
        return "utf-16-le"
    if data.startswith(b"\0<"):
        return "utf-16-be"
    match = _DECLARED.match(data[:200].lstrip())
    return match.group(1).decode("ascii").lower() if match else "utf-8"


def _reason(message: str) -> str:
    """What the parser says, without the place, which stands beside it, and without advice to programmers."""
    if "Excessive depth" in message:
        return (
            "elements are nested more than 256 deep, as in no score: the file is damaged or no score at all"
        )
    return "not well-formed XML: " + re.sub(r", line \d+, column \d+$", "", message)


def parse(source: Source, data: bytes) -> etree._ElementTree:
    """The tree of a file, decoded and as bytes. Nothing outside it is read, and no entity is expanded.

    Raises UnreadableError, with line and column, for text that is not well-formed XML or that defines
    entities.
    """
    parser = etree.XMLParser(
        encoding="utf-8", resolve_entities=False, no_network=True, load_dtd=False, huge_tree=False
    )
    try:
        # In UTF-8 the bytes are there already.
        plain = data[len(source.bom) :] if source.encoding == "utf-8" else source.text.encode("utf-8")
        root = etree.fromstring(plain, parser)
    except etree.XMLSyntaxError as error:
        line, column = error.position
        raise UnreadableError(_reason(error.msg), max(line, 1), max(column, 1)) from None
    tree = root.getroottree()
    dtd: Any = tree.docinfo.internalDTD
    if dtd is not None and next(dtd.iterentities(), None) is not None:
        raise UnreadableError("the file defines XML entities, which no score needs: they are not read")
    return tree
