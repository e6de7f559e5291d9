"""Files that are damaged, or out to do harm: small recipes, made when they are needed."""

from __future__ import annotations

import io
import struct
import zipfile
from collections.abc import Callable

from tabtools.source import MAX_BYTES

_ROOT = b"<score-partwise>"
_NOTE = (
    b"<note>\n  <pitch>\n    <step>C</step>\n    <octave>4</octave>\n  </pitch>\n"
    b"  <duration>1</duration>\n  <type>quarter</type>\n</note>\n"
)


def _doctype(subset: str, body: str = "") -> bytes:
    return f"<!DOCTYPE score-partwise [{subset}]>\n<score-partwise>{body}</score-partwise>".encode()


def _billion_laughs() -> bytes:
    levels = "".join(f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 12))
    return _doctype(f'<!ENTITY l0 "ha">{levels}', "<work><work-title>&l11;</work-title></work>")


def _quadratic() -> bytes:
    return _doctype(f'<!ENTITY long "{"x" * 100_000}">', f"<work>{'&long;' * 50_000}</work>")


def _parameter_bomb() -> bytes:
    levels = "".join(f"<!ENTITY % p{n} '{f'&#37;p{n - 1};' * 10}'>" for n in range(1, 12))
    return _doctype(f"<!ENTITY % p0 'x'>{levels}%p11;")


def _default_attributes() -> bytes:
    return _doctype(f'<!ATTLIST note x CDATA "{"x" * 100_000}">', "<note/>" * 100_000)


def _in_an_attribute() -> bytes:
    body = '<work title="&b;"/>'
    return _doctype('<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">', body)


def zipped(files: dict[str, bytes], method: int = zipfile.ZIP_DEFLATED) -> bytes:
    """A zip archive of these files."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", method) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return buffer.getvalue()


def container(path: str) -> bytes:
    """A container file that names one score."""
    return f'<container><rootfiles><rootfile full-path="{path}"/></rootfiles></container>'.encode()


def package(path: str, data: bytes) -> bytes:
    """A package whose container names one score, which it holds under that name."""
    return zipped({"META-INF/container.xml": container(path), path: data})


def _endless_container() -> bytes:
    return zipped({"META-INF/container.xml": b"<container>" + b" " * 10_000_000 + b"</container>"})


def _container_bomb() -> bytes:
    text = b'<!DOCTYPE c [<!ENTITY a "' + b"x" * 1000 + b'">]><container>' + b"&a;" * 1000 + b"</container>"
    return zipped({"META-INF/container.xml": text})


def _encrypted() -> bytes:
    """A package whose entries are marked as encrypted: bit 0 of the flags, in the entry and in the list."""
    data = bytearray(package("s.xml", _ROOT))
    for mark, flags in ((b"PK\3\4", 6), (b"PK\1\2", 8)):
        place = data.find(mark)
        while place >= 0:
            data[place + flags] |= 1
            place = data.find(mark, place + 1)
    return bytes(data)


def _link() -> bytes:
    """A package whose score is a symbolic link to a file of the system."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        archive.writestr("META-INF/container.xml", container("s.xml"))
        info = zipfile.ZipInfo("s.xml")
        info.create_system, info.external_attr = 3, 0o120777 << 16
        archive.writestr(info, "/etc/hostname")
    return buffer.getvalue()


def _in_one_piece(start: bytes, end: bytes) -> bytes:
    """A file of one long name, value or remark."""
    return start + b"x" * 15_000_000 + end


def _many_files() -> bytes:
    """An archive with a directory of 200 000 entries and nothing in them."""
    entry = struct.pack("<4s6H3L5H2L", b"PK\1\2", 20, 20, 0, 0, 0, 33, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0) + b"x"
    size = len(entry) * 200_000
    head = struct.pack("<4s5H3L2H", b"PK\3\4", 20, 0, 0, 0, 33, 0, 0, 0, 1, 0) + b"x"
    end = struct.pack("<4s4H2LH", b"PK\5\6", 0, 0, 65535, 65535, size, len(head), 0)
    return head + entry * 200_000 + end


def _nested(depth: int) -> bytes:
    return _ROOT + b"<note>" * depth + b"</note>" * depth + b"</score-partwise>"


# Name, how it is made, and what the message must say.
FAULTS: tuple[tuple[str, Callable[[], bytes], str], ...] = (
    ("entity bomb", _billion_laughs, "defines XML entities"),
    ("entity of quadratic growth", _quadratic, "defines XML entities"),
    ("parameter entity bomb", _parameter_bomb, "defines XML entities"),
    ("attributes by default", _default_attributes, "attributes of its own"),
    ("entity in an attribute", _in_an_attribute, "defines XML entities"),
    (
        "external entity",
        lambda: _doctype('<!ENTITY x SYSTEM "file:///etc/hostname">', "<work>&x;</work>"),
        "defines XML entities",
    ),
    (
        "external parameter entity",
        lambda: _doctype('<!ENTITY % x SYSTEM "http://localhost/x.dtd"> %x;'),
        "defines XML entities",
    ),
    ("entity that is not defined", lambda: b"<score-partwise>&nothing;</score-partwise>", "not well-formed"),
    ("zip bomb", lambda: package("s.xml", _ROOT + b" " * 50_000_000), "would grow from"),
    ("zip with a large container", _endless_container, "would grow from"),
    ("entities in the container", _container_bomb, "is not XML"),
    ("package of packages", lambda: package("s.mxl", package("s.xml", _ROOT)), "does not fit"),
    ("many files", _many_files, "lists its files"),
    ("path upwards", lambda: package("../../score.xml", _ROOT), "outside itself"),
    ("absolute path", lambda: package("/etc/score.xml", _ROOT), "outside itself"),
    ("path of another system", lambda: package("C:\\score.xml", _ROOT), "outside itself"),
    ("encrypted package", _encrypted, "is encrypted"),
    ("link in a package", _link, "not well-formed"),
    ("package without files", lambda: zipped({}), "has no META-INF/container.xml"),
    ("long attribute", lambda: _in_one_piece(b'<score-partwise version="', b'"/>'), "longer than 10 MB"),
    ("long text", lambda: _in_one_piece(_ROOT + b"<work>", b"</work></score-partwise>"), "longer than 10 MB"),
    ("long remark", lambda: _in_one_piece(_ROOT + b"<!--", b"--></score-partwise>"), "longer than 10 MB"),
    ("long name", lambda: _in_one_piece(_ROOT + b"<", b"/></score-partwise>"), "longer than 10 MB"),
    ("millions of tags", lambda: _ROOT + b"<a/>" * 4_900_000 + b"</score-partwise>", "little but tags"),
    ("truncated", lambda: _ROOT + _NOTE * 10 + b"<note><pit", "not well-formed"),
    ("large and truncated", lambda: _ROOT + _NOTE * (MAX_BYTES // len(_NOTE) - 1), "not well-formed"),
    ("many elements, truncated", lambda: _ROOT + b"<note/>" * 2_800_000, "not well-formed"),
    ("truncated package", lambda: package("s.xml", _ROOT * 100)[:-40], "damaged"),
    ("no bytes", lambda: b"", "empty"),
    ("declares what it is not", lambda: b'<?xml version="1.0" encoding="ascii"?>\n<a>\xe9</a>', "ascii"),
    ("declares what nobody knows", lambda: b'<?xml version="1.0" encoding="klingon-8"?><a/>', "klingon-8"),
    (
        "declares a codec that is no encoding",
        lambda: b'<?xml version="1.0" encoding="punycode"?>' + b"<a/>" * 100_000,
        "punycode",
    ),
    ("UTF-16 cut in half", lambda: b"\xff\xfe<\0s\0c", "utf-16-le"),
    ("UTF-16 of nonsense", lambda: b"\xff\xfe\x00\xd8<\0", "utf-16-le"),
    ("NUL bytes", lambda: b"<score-partwise>\0</score-partwise>", "not well-formed"),
    ("1000 deep", lambda: _nested(1000), "nested more than 256 deep"),
    ("a million deep", lambda: _nested(1_000_000), "nested more than 256 deep"),
    ("another namespace", lambda: b'<t:score-partwise xmlns:t="urn:tune"/>', "begins with <t:score"),
    ("another XML file", lambda: b'<?xml version="1.0"?><svg/>', "begins with <svg>"),
    ("100 MB", lambda: b"<" + b"x" * 100_000_000, "over the limit"),
)
