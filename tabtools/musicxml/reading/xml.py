"""Bytes to text and tree: any encoding that the file declares, no entities, nothing fetched."""

from __future__ import annotations

import codecs
import re
from xml.parsers import expat

from lxml import etree

from tabtools.source import BOMS, Source, UnreadableError

_DECLARED = re.compile(rb"<\?xml[^>]*?encoding\s*=\s*[\"']([A-Za-z][\w.:-]*)[\"']")
# Codecs of Python that are no encodings of text files: some run escapes, some take a time that grows with the
# square of the length.
_NO_ENCODINGS = ("idna", "punycode", "raw-unicode-escape", "undefined", "unicode-escape", "utf-7")
_SINGLE_BYTES = ("iso8859-1", "cp1252", "ascii")
# A tree takes about ten times the memory of its file, so a large file is tried without one first.
_LARGE = 2_000_000
_CHUNK = 1 << 11
# An ampersand that begins no reference, and a default namespace of the root element.
BARE_AMPERSAND = re.compile(r"&(?!(?:[A-Za-z_][\w.-]*|#[0-9]+|#x[0-9A-Fa-f]+);)")
NAMESPACE = re.compile(r"""<score-(?:part|time)wise\b[^<>]*?(\s+xmlns\s*=\s*(?:"[^"]*"|'[^']*'))""")
_HEAD = 4096
_ROOTS = ("score-partwise", "score-timewise")
# No score has so few characters to a tag, not even one without spaces: notes of nothing but pitch and
# duration come to nearly seven.
_TAG_LENGTH = 5
_TOO_LONG = re.compile(r"limit exceeded|too (?:big|long)")


def decode(name: str, data: bytes) -> Source:
    """The text of an XML file by its byte order mark, else by its declaration, else as UTF-8.

    Raises UnreadableError for an empty file, an encoding that is not known, and bytes that do not fit the
    encoding.
    """
    if not data or data.isspace():
        raise UnreadableError("the file is empty: there is nothing to read")
    bom, encoding = next(((b, e) for b, e in BOMS if data.startswith(b)), (b"", _declared(data)))
    try:
        if codecs.lookup(encoding).name in _NO_ENCODINGS:
            raise LookupError
        if not bom and codecs.lookup(encoding).name in _SINGLE_BYTES and _is_utf_8(data):
            encoding = "utf-8"  # read as single bytes its letters would be others
        return Source(name, data[len(bom) :].decode(encoding), encoding, bom)
    except LookupError:
        raise UnreadableError(f"the file declares the encoding {encoding}, which is not known") from None
    except UnicodeDecodeError as error:
        if encoding == "utf-8" and not bom and b"\0" not in data:
            # Single bytes under a wrong declaration; every byte has a meaning in Latin-1.
            return Source(name, data.decode("latin-1"), "latin-1")
        line = data.count(b"\n", 0, len(bom) + error.start) + 1
        raise UnreadableError(
            f"byte {error.start} does not fit the encoding {encoding}: save the file as UTF-8, "
            "or correct the encoding in its first line",
            line,
        ) from None


def _is_utf_8(data: bytes) -> bool:
    """Whether bytes beyond ASCII fit UTF-8, which others hardly do by chance."""
    if data.isascii():
        return False
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def _declared(data: bytes) -> str:
    if data.startswith(b"<\0"):
        return "utf-16-le"
    if data.startswith(b"\0<"):
        return "utf-16-be"
    match = _DECLARED.match(data[:200].lstrip())
    name = match.group(1).decode("ascii").lower() if match else "utf-8"
    # What can be read as single bytes up to here is not in units of two or four, whatever it says.
    return "utf-8" if name.startswith(("utf-16", "utf-32", "ucs-", "iso-10646")) else name


def parse(source: Source, data: bytes) -> etree._ElementTree:
    """The tree of a file, decoded and as bytes. Nothing outside it is read, and no entity is expanded.

    Raises UnreadableError, with line and column, for text that is not well-formed XML, that begins with
    another element than a score does, or that defines entities or attributes.
    """
    # In UTF-8 the bytes are there already.
    plain = data[len(source.bom) :] if source.encoding == "utf-8" else source.text.encode("utf-8")
    if plain[:1].isspace() or b"xmlns=" in plain[:_HEAD] or _ill_formed(plain):
        plain = _made_xml(source.text).encode("utf-8")
    _try_out(plain)
    parser = etree.XMLParser(
        encoding="utf-8", resolve_entities=False, no_network=True, load_dtd=False, huge_tree=False
    )
    try:
        root = etree.fromstring(plain, parser)
    except etree.XMLSyntaxError as error:
        line, column = error.position
        raise UnreadableError(_reason(error.msg), max(line, 1), max(column, 1)) from None
    if root.tag not in _ROOTS:
        space = etree.QName(root).namespace
        raise UnreadableError(
            f'the elements are in the namespace "{space}", and MusicXML has none: take out xmlns'
        )
    return root.getroottree()


def _ill_formed(plain: bytes) -> bool:
    return b"&" in plain and re.search(BARE_AMPERSAND.pattern.encode(), plain) is not None


def _made_xml(text: str) -> str:
    """The text without what a rule reports and a parser refuses; tags keep their order and their line."""
    text = BARE_AMPERSAND.sub("&amp;", text.lstrip())
    if match := NAMESPACE.search(text):
        text = text[: match.start(1)] + text[match.end(1) :]
    return text


def _reason(message: str) -> str:
    """What the parser says, without the place, which stands beside it, and without advice to programmers."""
    if _TOO_LONG.search(message):
        return "one name, value or remark is longer than 10 MB, as in no score: the file is damaged"
    if "Excessive depth" in message:
        return (
            "elements are nested more than 256 deep, as in no score: the file is damaged or no score at all"
        )
    return "not well-formed XML: " + re.sub(r", line \d+, column \d+$", "", message)


def _try_out(data: bytes) -> None:
    """Read a file up to its root element, a large one to its end, without making anything of it.

    So entities are found before they are used, and attributes with a default before they multiply.
    """
    reader = expat.ParserCreate("utf-8")
    roots: list[str] = []

    def refuse(*_: object) -> None:
        raise UnreadableError(
            "the file defines XML entities or attributes of its own, which no score needs: they are not read",
            reader.CurrentLineNumber,
        )

    def begin(tag: str, _: object) -> None:
        if tag not in _ROOTS:
            reason = f"the file is XML, but no score: it begins with <{tag}>"
            raise UnreadableError(reason, reader.CurrentLineNumber)
        roots.append(tag)
        reader.StartElementHandler = None

    reader.EntityDeclHandler = reader.AttlistDeclHandler = refuse
    reader.StartElementHandler = begin
    large = len(data) > _LARGE
    if large and data.count(b"<") * _TAG_LENGTH > len(data):
        raise UnreadableError("the file is little but tags, as no score is: it is damaged or no score at all")
    start, size = 0, _CHUNK
    try:
        while start < len(data):
            if roots and not large:
                return
            reader.Parse(data[start : start + size], False)
            # The parser begins a piece of markup anew with every chunk, so that one of many chunks of the
            # same size would take the square of its length.
            start, size = start + size, 2 * size
        reader.Parse(b"", True)
    except expat.ExpatError as error:
        if not large:
            return  # the tree's parser says better what is wrong
        reason = f"not well-formed XML: {expat.ErrorString(error.code)}"
        raise UnreadableError(reason, error.lineno, error.offset + 1) from None
