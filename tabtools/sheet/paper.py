"""A lesson as a PDF: the same pictures and words, set by typst; no system is cut by the end of a page."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any, cast

from tabtools.drawing.shapes import FORBIDDEN, Picture
from tabtools.sheet.lesson import CAUTIONS, Lesson, Passage, grouped
from tabtools.sheet.notation import NOTATION_STYLE, glyph_defs
from tabtools.sheet.page import DRAFT, WORKED_OUT, Draft, group_title, part_name, passage_words
from tabtools.sheet.pictures import WIDE, Look, draw_passages, forms_of
from tabtools.sheet.prose import Paragraph
from tabtools.source import UnreadableError

PAPERS = {"a4": ("a4", 210.0), "letter": ("us-letter", 215.9)}  # typst's names, widths in millimetres
_COLUMN = 180.0  # millimetres of the text's width
_MILLIMETRE = _COLUMN / WIDE  # of a pixel of our pictures
_FONT = "Libertinus Serif"  # typst brings it along, so that a sheet looks alike everywhere
_FAMILY = f"'{_FONT}','Liberation Sans','DejaVu Sans',sans-serif"
_GLYPH = re.compile(r'href="#([^"]+)"')
_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"}


def lesson_paper(
    lesson: Lesson, look: Look, paper: str = "a4", draft: Sequence[Draft] = (), mark: str = ""
) -> bytes:
    """The PDF of a lesson on a paper of PAPERS. The same lesson gives the same bytes. ``mark`` is kept in the
    file as a keyword.

    Raises UnreadableError for music that the engraver can't take.
    """
    import typst

    setter = _Setter(lesson, look)
    source = "\n".join((*_setup(lesson, paper, mark), *setter.body(draft)))
    files = {"main.typ": source.encode(), **setter.files}
    try:
        return bytes(typst.compile(cast(Any, files), format="pdf", timestamp=0))
    except typst.TypstError as error:
        raise UnreadableError(f"this lesson can't be set as a PDF: {error}") from error


def literal(text: str) -> str:
    """Text as a string of typst's, in which nothing is a command."""
    return '"' + "".join(_ESCAPES.get(char, char) for char in FORBIDDEN.sub("\ufffd", text)) + '"'


def _words(text: str) -> str:
    return f"#text({literal(text)})"


def _setup(lesson: Lesson, paper: str, mark: str) -> Iterator[str]:
    name, width = PAPERS[paper]
    side = (width - _COLUMN) / 2
    foot = f"#set text(8pt, fill: luma(90)); #text({literal(lesson.title)}) #h(1fr) #counter(page).display()"
    margin = f"(x: {side}mm, top: 16mm, bottom: 18mm)"
    yield f'#set page(paper: "{name}", margin: {margin}, footer: context [{foot}])'
    yield f'#set text(font: ("{_FONT}", "Liberation Serif", "DejaVu Sans"), size: 10.5pt, lang: "en")'
    yield "#set par(justify: true, leading: 0.62em)"
    keywords = f", keywords: ({literal(mark)},)" if mark else ""
    yield f"#set document(title: {literal(lesson.title)}, date: none{keywords})"


class _Setter:
    """Puts a lesson into typst's language; ``files`` are the pictures that it shows."""

    def __init__(self, lesson: Lesson, look: Look) -> None:
        self._lesson, self._look = lesson, look
        self._pictures = draw_passages(lesson, WIDE, look)
        self._necks = forms_of(lesson, look)
        self.files: dict[str, bytes] = {}

    def body(self, draft: Sequence[Draft]) -> Iterator[str]:
        yield from self._head()
        if draft:
            items = "\n".join(f"- #strong({literal(fault.place)}) {_words(fault.words)}" for fault in draft)
            title = f"#strong({literal(DRAFT)})"
            yield f"#block(stroke: 1pt, inset: 8pt, width: 100%)[{title}\n{items}\n]"
        for number, block in enumerate(self._lesson.blocks):
            if isinstance(block, Paragraph):
                yield _prose(block)
            else:
                yield from self._passage(number, block)
        if self._look.reasons:
            yield from self._reasons()
        yield "#v(1fr, weak: true)"
        yield from (f"#par(text(8pt, fill: luma(90), {literal(words)}))" for words in CAUTIONS)

    def _head(self) -> Iterator[str]:
        yield f"#block(below: 6pt, text(20pt, weight: 700, {literal(self._lesson.title)}))"
        facts = " #h(14pt, weak: true) ".join(
            f"#box[#text(fill: luma(90), {literal(name)}) {_words(words)}]"
            for name, words in self._lesson.facts
        )
        rules = "stroke: (top: 1.2pt, bottom: 0.4pt + luma(160)), inset: (y: 6pt), width: 100%, below: 14pt"
        yield f"#block({rules}, text(9.5pt)[{facts}])"

    def _picture(self, picture: Picture, title: str, defs: str = "") -> str:
        name = f"{len(self.files)}.svg"
        self.files[name] = picture.svg(title, defs, _FAMILY).encode()
        return f'image("{name}", width: {picture.width * _MILLIMETRE:.2f}mm, alt: {literal(title)})'

    def _passage(self, number: int, passage: Passage) -> Iterator[str]:
        name = part_name(self._lesson, number, passage)
        if name:
            yield f"#block(sticky: true, above: 16pt, text(12pt, weight: 700, {literal(name)}))"
        title = f"Notation and tab: {passage_words(self._lesson, passage)}"
        for picture in self._pictures.systems[passage]:
            # A picture wider than the page, of a bar that does not fit, is made smaller.
            fitted = picture._replace(width=max(picture.width, WIDE))
            image = self._picture(fitted, title, self._defs(picture)).replace(
                f"{fitted.width * _MILLIMETRE:.2f}mm", "100%"
            )
            yield f"#block(breakable: false, above: 12pt, below: 8pt, {image})"
        figures = [
            f"#box(inset: (right: 6mm, bottom: 2mm))[#{self._picture(picture, words)} #v(-8pt) "
            f"#h(2mm) #text(8.5pt, fill: luma(70), {literal(words)})]"
            for words, picture in self._necks.get(passage, [])
        ]
        if figures:
            yield "#par(justify: false, leading: 4pt)[" + "\n".join(figures) + "]"

    def _defs(self, picture: Picture) -> str:
        """The outlines that a picture uses, and how its notation is drawn."""
        used = {name for shape in picture.shapes for name in _GLYPH.findall(shape.svg)}
        glyphs = {name: outline for name, outline in self._pictures.glyphs.items() if name in used}
        return f"<style>{NOTATION_STYLE}</style>{glyph_defs(glyphs)}"

    def _reasons(self) -> Iterator[str]:
        yield '#block(sticky: true, above: 18pt, text(12pt, weight: 700, "Every note, and why it fits"))'
        if self._lesson.placed:
            yield f"#par({literal(WORKED_OUT)})"
        for part, groups in grouped(self._lesson.groups):
            if len(self._lesson.score.parts) > 1:
                yield f"#block(sticky: true, strong({literal(self._lesson.score.parts[part].name)}))"
            heads = ", ".join(
                f'[#text(fill: luma(90), "{name}")]' for name in ("String", "Fret", "Note", "Why it fits")
            )
            cells = [f"table.header({heads})"]
            for group in groups:
                cells.append(f"table.cell(colspan: 4)[#strong({literal(group_title(group))})]")
                for reason in group.reasons:
                    row = (str(reason.string), str(reason.fret), reason.letter, reason.told)
                    cells += (f"[{_words(cell)}]" for cell in row)
            columns = "columns: (auto, auto, auto, 1fr), stroke: none, inset: 2.5pt"
            yield f"#text(9pt, table({columns}, {', '.join(cells)}))"


def _prose(paragraph: Paragraph) -> str:
    if paragraph.laid_out:
        return f"#raw({literal(chr(10).join(paragraph.lines))}, block: true)"
    return f"#par[{_words(paragraph.text)}]"
