"""Dashes and bar lines of another alphabet among plain ones."""

from __future__ import annotations

import pytest

from tabtools.lint.engine import check
from tabtools.lint.finding import Finding
from tabtools.lint.fixes import repair
from tabtools.lint.plan import plain
from tabtools.lint.rules import load_all
from tabtools.reading import read
from tabtools.source import Source
from tabtools.text.writing.format import format_text

PLAIN = """\
Tuning: standard

e|-0-------1---3---|-0---3---1---0---|
B|-1---------------|-1---------------|
G|-0---------------|-0---------------|
D|-2---------------|-2---------------|
A|-3---------------|-3---------------|
E|-----------------|-----------------|
"""


def _strays(text: str) -> list[tuple[Finding, str]]:
    document = read("page.txt", text.encode())
    found = [finding for finding in check(document, load_all()) if finding.rule == "stray-character"]
    return [(finding, text[finding.span.start : finding.span.end]) for finding in found]


@pytest.mark.parametrize(
    ("old", "new", "marked"),
    [
        ("0-------1", "0---–---1", ["–"]),
        ("0-------1", "0-—-–---1", ["—", "–"]),
        ("0-------1", "0-−−−---1", ["−−−"]),
        ("3---|-0---3", "3---│-0---3", ["│"]),
    ],
)
def test_a_stranger_among_plain_characters_is_told_and_typed_anew(
    old: str, new: str, marked: list[str]
) -> None:
    text = PLAIN.replace(old, new)
    assert [word for _, word in _strays(text)] == marked
    assert read("a", text.encode()).score.parts[0].bars[0].events[0].onset == 0
    again = repair(
        read("page.txt", text.encode()), plain(load_all()), lambda new: read("page.txt", new.encode())
    )
    assert again.text == PLAIN


@pytest.mark.parametrize("dash", "–—−─")
def test_a_row_that_is_drawn_so_throughout_is_a_way_of_drawing(dash: str) -> None:
    head, *rows = PLAIN.split("\n\n")
    assert _strays("\n\n".join([head, *(row.replace("-", dash) for row in rows)])) == []


def test_a_new_layout_types_them_plainly() -> None:
    narrow = PLAIN.replace("--|", "-|")
    text = narrow.replace("0-------1", "0---–---1")
    assert text != narrow != PLAIN
    assert format_text(Source("page.txt", text)).text == format_text(Source("page.txt", narrow)).text
