"""Bytes to text and back, and the way from a character to its line and column."""

from __future__ import annotations

import codecs
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tabtools.source import MAX_BYTES, Source, UnreadableError, decode


@pytest.mark.parametrize(
    ("data", "encoding", "bom"),
    [
        (b"caf\xc3\xa9", "utf-8", b""),
        (codecs.BOM_UTF8 + b"caf\xc3\xa9", "utf-8", codecs.BOM_UTF8),
        (codecs.BOM_UTF16_LE + "café".encode("utf-16-le"), "utf-16-le", codecs.BOM_UTF16_LE),
        (codecs.BOM_UTF16_BE + "café".encode("utf-16-be"), "utf-16-be", codecs.BOM_UTF16_BE),
        (b"caf\xe9", "cp1252", b""),
    ],
)
def test_encodings(data: bytes, encoding: str, bom: bytes) -> None:
    source = decode("page", data)
    assert (source.text, source.encoding, source.bom) == ("café", encoding, bom)
    assert source.encode(source.text) == data


def test_a_byte_that_windows_1252_leaves_open() -> None:
    assert decode("page", b"a\x81\xe9").encoding == "latin-1"


@pytest.mark.parametrize(
    ("data", "reason", "line"),
    [
        (b"", "empty", 1),
        (b" \r\n\t ", "empty", 1),
        (b"e|--5--|\n\x00\x01", "not text: byte 9 is 0x00", 2),
        (codecs.BOM_UTF16_LE + b"a\x00b", "the byte order mark says UTF-16-LE", 1),
        (codecs.BOM_UTF8 + b"\xff", "the byte order mark says UTF-8", 1),
        (b"-" * (MAX_BYTES + 1), "over the limit of 20 MB", 1),
    ],
)
def test_what_is_no_text_is_refused_with_the_reason(data: bytes, reason: str, line: int) -> None:
    with pytest.raises(UnreadableError, match=reason) as raised:
        decode("page", data)
    assert raised.value.line == line


@given(st.text(st.sampled_from("ab\n\r\u2028\x0b"), max_size=60))
def test_every_offset_has_its_line_and_column(text: str) -> None:
    source = Source("page", text)
    lines = re.split("\r\n|\r|\n", text)
    assert [source.line(number) for number in range(1, len(lines) + 1)] == lines
    for offset, character in enumerate(text):
        line, column = source.position(offset)
        assert 1 <= line <= len(lines)
        if character not in "\r\n":
            assert source.line(line)[column - 1] == character
