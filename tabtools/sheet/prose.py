"""The text of a lesson that is neither music nor a fact about it: what the author says to the reader."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import dedent

from tabtools.document import Document
from tabtools.record import NamedTuple
from tabtools.text.page.kinds import ReadLine

# Kinds of lines that say nothing to a reader, or only what the head of the sheet says already.
_SAID = ("header", "title", "furniture", "decoration")
_REMARK = "tabtools:"
_NAMED = ("title:", "author:", "composer:", "by ", "song:", "artist:")


class Paragraph(NamedTuple):
    """Lines of prose that stand together; ``offset`` is where they begin in the source."""

    lines: tuple[str, ...]
    offset: int

    @property
    def text(self) -> str:
        return " ".join(line.strip() for line in self.lines)

    @property
    def laid_out(self) -> bool:
        """Whether the lines are set by hand, as a table or a list is, and must stay apart."""
        return any(line[:1].isspace() or "  " in line.strip() or line[:1] in "-*•" for line in self.lines)


def paragraphs(document: Document) -> Iterator[Paragraph]:
    """The prose of a text page in its order; MusicXML has none."""
    if document.page is None:
        return
    waiting: list[ReadLine] = []
    for line in document.page.prose:
        if waiting and (line.number != waiting[-1].number + 1 or not _is_prose(document, line)):
            yield _paragraph(waiting)
            waiting = []
        if _is_prose(document, line):
            waiting.append(line)
    if waiting:
        yield _paragraph(waiting)


def _paragraph(lines: list[ReadLine]) -> Paragraph:
    text = dedent("\n".join(line.text.rstrip() for line in lines))
    return Paragraph(tuple(text.split("\n")), lines[0].line.offset)


def _is_prose(document: Document, line: ReadLine) -> bool:
    """Whether a line says something that the head of the sheet does not say already."""
    text = line.text.strip()
    if line.kind in _SAID or _REMARK in text.lower():
        return False
    title, author = document.score.title, document.score.composer
    in_head = {title, author, f"by {author}"}
    return text not in in_head and not text.lower().startswith(_NAMED)
