from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

pytest.importorskip("pygls")
from lsprotocol.types import Position

from tabtools.editor.places import Places
from tabtools.source import Source, Span

ENCODINGS = ("utf-8", "utf-16", "utf-32")
TEXT = "e|-5-|\r\n𝄞é♭ x\n\tG|\n"


@pytest.mark.parametrize(("encoding", "character"), [("utf-8", 9), ("utf-16", 4), ("utf-32", 3)])
def test_units_are_those_of_the_encoding(encoding: str, character: int) -> None:
    # U+1D11E has 4 bytes in UTF-8 and two units in UTF-16, é 2 and 1, ♭ 3 and 1 (the Unicode Standard, 3.9).
    places = Places(Source("x", TEXT), encoding)
    assert places.position(TEXT.index(" x")) == Position(1, character)
    assert places.offset(Position(1, character)) == TEXT.index(" x")


@given(text=st.text(alphabet="ab \t\r\n𝄞é♭", max_size=30), encoding=st.sampled_from(ENCODINGS))
def test_there_and_back(text: str, encoding: str) -> None:
    places = Places(Source("x", text), encoding)
    for offset in range(len(text) + 1):
        back = places.offset(places.position(offset))
        # The place between the two characters of a line end is that before them.
        assert back == offset or text[back:offset] == "\r"


def test_places_beyond_a_line_or_the_text_are_its_end() -> None:
    places = Places(Source("x", TEXT), "utf-16")
    assert places.offset(Position(0, 99)) == 6
    assert places.offset(Position(99, 0)) == len(TEXT)
    assert places.exact(Span(7, 7)).start == Position(1, 0)
