"""Text in pictures, and how much room it takes."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tabtools.drawing.shapes import FONTS, Box, Picture, number, stylesheet, text, text_over
from tabtools.drawing.widths import text_width

_SVG = "{http://www.w3.org/2000/svg}"


@given(st.text(max_size=30))
def test_any_text_stands_in_the_picture_as_it_is_and_runs_nothing(words: str) -> None:
    picture = Picture((text(0, 10, words, "chord", key=words),), 100, 20)
    root = ElementTree.fromstring(picture.svg(words))
    assert [element.tag.removeprefix(_SVG) for element in root.iter()] == ["svg", "style", "rect", "text"]
    shown = root.findtext(f"{_SVG}text") or ""
    # What XML can't hold is replaced, and line ends are those of XML.
    assert shown.count("\ufffd") >= words.count("\ufffd")
    assert len(shown) == len(words.replace("\r\n", "\n"))


def test_no_text_is_wider_than_we_think() -> None:
    # Helvetica's advance widths in thousandths of an em (Adobe's AFM file, from memory), narrow as most are;
    # those of DejaVu, the widest of the usual fonts, are ours.
    for words, helvetica in (("12", 1112), ("Em", 1500), ("let ring", 2890)):
        assert helvetica / 1000 <= text_width(words, 1) <= 1.35 * helvetica / 1000


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_the_box_of_a_text_is_where_its_anchor_says(anchor: str) -> None:
    box = text(50, 20, "Am7", "chord", anchor).box
    assert {"start": box.left, "middle": (box.left + box.right) / 2, "end": box.right}[anchor] == 50
    assert box.top < 20 < box.bottom


def test_text_over_a_line_ends_there() -> None:
    assert text_over(0, 40, "H", "mark").box.bottom == pytest.approx(40)


def test_boxes_overlap_where_both_ways_do() -> None:
    box = Box(0, 0, 10, 10)
    assert box.overlaps(Box(9, 9, 20, 20))
    assert not box.overlaps(Box(9, 9, 20, 20), slack=1.5)
    assert not box.overlaps(Box(10, 0, 20, 10))


@pytest.mark.parametrize(("value", "words"), [(1.25, "1.2"), (3.0, "3"), (-0.04, "0"), (-7.06, "-7.1")])
def test_numbers_are_short(value: float, words: str) -> None:
    assert number(value) == words


def test_every_font_has_its_rule() -> None:
    rules = stylesheet()
    assert all(f".drawn .{name}{{font-size:{font.size}px" in rules for name, font in FONTS.items())
