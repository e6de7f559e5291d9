"""A sheet never runs what a lesson says: hostile words in every field of a score."""

from __future__ import annotations

from html.parser import HTMLParser
from pathlib import Path
from shutil import which
from subprocess import run
from xml.etree import ElementTree

import pytest

from tabtools.document import Document
from tabtools.reading import read
from tabtools.score import Bar, Event, Harmony, Part, Score, Words

pytest.importorskip("verovio", reason="the extra [sheet] is not installed")
pytest.importorskip("typst", reason="the extra [sheet] is not installed")

from tabtools.sheet.lesson import lesson_of
from tabtools.sheet.page import Draft, lesson_page
from tabtools.sheet.paper import lesson_paper, literal
from tabtools.sheet.pictures import WIDE, Look, draw_passages
from tabtools.sheet.prose import Paragraph

_LICK = Path(__file__).parents[2] / "samples" / "02-three-forms-one-hand.txt"
_TAG = "<script>alert(1)</script>"
HOSTILE = f"{_TAG}\"'&<i onload=x>]]>--> #panic(1) $x$ \\u{{41}} `@a` \u0007 \ud800 \u202e"


def _event(event: Event) -> Event:
    return event._replace(notes=tuple(note._replace(finger=HOSTILE) for note in event.notes))


def _bar(bar: Bar) -> Bar:
    return bar._replace(
        section=HOSTILE,
        label=HOSTILE,
        words=(Words(bar.time.length / 2, HOSTILE),),
        harmonies=(Harmony(0 * bar.time.length, HOSTILE),),
        events=tuple(map(_event, bar.events)),
    )


def _part(part: Part) -> Part:
    instrument = part.instrument._replace(name=HOSTILE)
    return part._replace(name=HOSTILE, instrument=instrument, bars=tuple(map(_bar, part.bars[:2])))


def _document() -> Document:
    document = read(_LICK.name, _LICK.read_bytes())
    parts = tuple(_part(part) for part in document.score.parts) * 2
    return Document(document.source, Score(parts, HOSTILE, HOSTILE))


class _Page(HTMLParser):
    """The tags of a page and its words."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.words = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        assert not any(name.startswith("on") for name, _ in attrs)

    def handle_data(self, data: str) -> None:
        self.words += data


def test_a_page_shows_hostile_words_and_runs_none() -> None:
    lesson = lesson_of(_document(), HOSTILE)
    lesson = lesson._replace(
        blocks=(Paragraph((HOSTILE,), 0), Paragraph((f"  {HOSTILE}",), 1), *lesson.blocks)
    )
    text = lesson_page(lesson, Look(), [Draft(HOSTILE, HOSTILE)], metas={"x": HOSTILE})
    page = _Page(text.encode("utf-8", "replace").decode())
    assert page.tags.count("script") == 2  # the data and our own
    assert page.tags.count("i") == 0
    assert page.words.count(_TAG) > 15


def test_a_picture_holds_hostile_words_and_no_other_element() -> None:
    lesson = lesson_of(_document(), HOSTILE)
    drawn = draw_passages(lesson, WIDE, Look())
    for picture in (picture for pictures in drawn.systems.values() for picture in pictures):
        root = ElementTree.fromstring(picture.svg(HOSTILE))
        tags = {element.tag.rpartition("}")[2] for element in root.iter()}
        assert tags <= {
            "svg",
            "style",
            "rect",
            "g",
            "path",
            "text",
            "use",
            "circle",
            "ellipse",
            "polygon",
            "tspan",
        }


def test_a_pdf_shows_hostile_words_and_runs_none(tmp_path: Path) -> None:
    lesson = lesson_of(_document(), HOSTILE)
    lesson = lesson._replace(
        blocks=(Paragraph((HOSTILE,), 0), Paragraph((f"  {HOSTILE}",), 1), *lesson.blocks)
    )
    paper = tmp_path / "hostile.pdf"
    paper.write_bytes(lesson_paper(lesson, Look(reasons=True), "a4", [Draft(HOSTILE, HOSTILE)], HOSTILE))
    if which("pdftotext") is None:
        pytest.skip("pdftotext is not installed")
    text = run(["pdftotext", "-raw", paper, "-"], capture_output=True, text=True, check=True).stdout
    assert text.replace("\n", "").count("alert(1)") > 15
    assert "#panic(1)" in text


@pytest.mark.parametrize("text", ['a"b', "a\\b", "a\nb", "#a", "\\u{41}"])
def test_a_literal_ends_where_we_end_it(text: str) -> None:
    inside = literal(text)[1:-1]
    assert '"' not in inside.replace('\\"', "").replace("\\\\", "")
    assert inside.replace("\\\\", "\0").replace('\\"', '"').replace("\\n", "\n").replace("\0", "\\") == text
