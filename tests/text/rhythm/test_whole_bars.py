"""Whatever the columns are, every bar of the MusicXML that is written holds exactly its metre."""

from __future__ import annotations

from collections import defaultdict

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from tabtools.musicxml.writer import write_musicxml
from tabtools.source import Source
from tabtools.text.reader import read_text
from tabtools.theory.holding import hold

METRES = ["2/4", "3/4", "4/4", "5/4", "6/4", "3/8", "5/8", "6/8", "7/8", "9/8", "12/8"]


@st.composite
def pages(draw: st.DrawFn) -> str:
    """Three strings of digits and hyphens in any columns, up to five bars, under a metre and perhaps another
    one from a bar on; the first bar may be too narrow to be a whole one, and have a triplet bracket."""
    bars = draw(st.lists(st.integers(6, 30), min_size=1, max_size=5))
    bars[:0] = draw(st.lists(st.integers(4, 5), max_size=1))
    at = 2 + sum(width + 1 for width in bars[: draw(st.integers(0, len(bars) - 1))])
    words = [" " * at + draw(st.sampled_from(METRES))] * draw(st.booleans())
    words += [" " * at + "|-3-|"] * draw(st.booleans())
    rows = [*words]
    for name, signs in (("e", "---5"), ("B", "---5"), ("G", "-")):
        cells = ["".join(draw(st.sampled_from(signs)) for _ in range(width)) for width in bars]
        rows.append(f"{name}|" + "|".join(cells) + "|")
    return f"Time: {draw(st.sampled_from(METRES))}\n\n  let ring----|\n" + "\n".join(rows) + "\n"


def lengths(xml: bytes) -> list[tuple[int, int, bool]]:
    """Per bar: where its music ends, what its metre holds (both in divisions), whether it is implicit."""
    found, divisions, whole = [], 1, 0
    for measure in etree.fromstring(xml).iter("measure"):
        divisions = int(measure.findtext("attributes/divisions") or divisions)
        if (time := measure.find("attributes/time")) is not None:
            whole = 4 * divisions * int(time.findtext("beats", "")) // int(time.findtext("beat-type", ""))
        now = end = 0
        for element in measure:
            if element.find("chord") is not None:
                continue
            step = int(element.findtext("duration") or 0)
            now += -step if element.tag == "backup" else step
            end = max(end, now)
        found.append((end, whole, measure.get("implicit") == "yes"))
    return found


def voices(xml: bytes) -> dict[tuple[int, str], int]:
    """How long each voice of each bar sounds or rests, in divisions."""
    found: dict[tuple[int, str], int] = defaultdict(int)
    for number, measure in enumerate(etree.fromstring(xml).iter("measure")):
        for element in measure.iter("note", "forward"):
            if element.find("chord") is None:
                found[number, element.findtext("voice", "")] += int(element.findtext("duration") or 0)
    return found


@pytest.mark.parametrize("held", [False, True])
@settings(max_examples=60)
@given(pages())
def test_every_bar_holds_its_metre(held: bool, page: str) -> None:
    score = read_text(Source("page.txt", page)).score
    xml = write_musicxml(hold(score) if held else score)
    bars = lengths(xml)
    for end, whole, implicit in bars:
        assert end == whole or (implicit and 0 < end < whole)
    for (number, _), length in voices(xml).items():
        assert length <= bars[number][0]
