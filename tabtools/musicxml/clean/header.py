"""The first lines: the XML declaration and the version."""

from __future__ import annotations

import codecs
import re
from collections.abc import Iterator

from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.edit.insert import set_attribute
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.reading.xml import BARE_AMPERSAND, NAMESPACE
from tabtools.source import Edit, Source, Span

RULE = "file-header"
VERSION = "4.0"
# The versions that were published.
_VERSIONS = ("1.0", "1.1", "2.0", "3.0", "3.1", VERSION)
_DECLARED = re.compile(r"<\?xml[^>]*?encoding\s*=\s*[\"']([^\"']*)")
_NAMES = {"utf-8": "UTF-8", "latin-1": "ISO-8859-1", "utf-16-le": "UTF-16", "utf-16-be": "UTF-16"}


def faults(where: Extents, source: Source) -> Iterator[Fault]:
    """Faults of the declaration and of the root element."""
    text = source.text
    name = _NAMES.get(source.encoding, source.encoding)
    if not text.lstrip().startswith("<?xml"):
        line_end = "\r\n" if "\r\n" in text else "\n"
        edit = Edit(Span(0, 0), f'<?xml version="1.0" encoding="{name}"?>{line_end}')
        message = "the file does not begin with an XML declaration that says its encoding: add one"
        yield Fault(RULE, Span(0, 1), message, None, Repair((edit,), "add the XML declaration"))
    elif (declared := _DECLARED.match(text)) and not _same(declared.group(1), source.encoding):
        message = f"the file says that it is {declared.group(1)} and it is {name}: correct the declaration"
        repair = Repair((Edit(Span(*declared.span(1)), name),), f"declare {name}")
        yield Fault(RULE, Span(*declared.span(1)), message, None, repair)
    yield from _version(where)
    yield from _not_xml(where)


def _not_xml(where: Extents) -> Iterator[Fault]:
    """Faults for which an XML parser refuses the file, and which it was read without."""
    text = where.text
    lead = len(text) - len(text.lstrip())
    if lead and text[lead:].startswith("<?xml"):
        message = "there is white space before the XML declaration, which must come first: take it out"
        edit = Edit(Span(0, lead), "")
        yield Fault(RULE, Span(lead, lead + 5), message, None, Repair((edit,), "take out the white space"))
    for match in BARE_AMPERSAND.finditer(text):
        message = "a bare & is no XML: write &amp; for it"
        yield Fault(
            RULE,
            Span(*match.span()),
            message,
            None,
            Repair((Edit(Span(*match.span()), "&amp;"),), "write &amp;"),
        )
    namespace = NAMESPACE.search(text)
    if namespace:
        message = "the root element names a namespace, and MusicXML has none: programs find no score in it"
        yield Fault(
            RULE,
            Span(*namespace.span(1)),
            message,
            None,
            Repair((Edit(Span(*namespace.span(1)), ""),), "take it out"),
        )


def _same(declared: str, encoding: str) -> bool:
    """Whether two names mean one encoding; the byte order is the mark's business, not the name's."""
    try:
        one, other = codecs.lookup(declared).name, codecs.lookup(encoding).name
    except LookupError:
        return False
    return one == other or (one == "utf-16" and other.startswith("utf-16"))


def _version(where: Extents) -> Iterator[Fault]:
    root = where.root
    version, place = root.get("version"), where[root]
    start = Span(place.start, place.inner)
    if version is None:
        message = (
            f"<{root.tag}> has no version, which means 1.0, the first of all: say {VERSION}, as of today"
        )
        repair = Repair((set_attribute(where, root, "version", VERSION),), f'add version="{VERSION}"')
        yield Fault(RULE, start, message, None, repair)
    elif version.strip() not in _VERSIONS:
        edit = set_attribute(where, root, "version", VERSION)
        message = f"there is no version {version!r} of MusicXML: write {VERSION}"
        yield Fault(RULE, edit.span, message, None, Repair((edit,), f"write {VERSION}"))
