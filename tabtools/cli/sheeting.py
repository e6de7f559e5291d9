"""A lesson's bytes to the bytes of its sheet: what every process of a run over many lessons does."""

from __future__ import annotations

import os
import re
from html import unescape
from typing import TYPE_CHECKING

from tabtools.cli.load import failure
from tabtools.document import Defaults, Document
from tabtools.lint.finding import FileFindings
from tabtools.record import NamedTuple

if TYPE_CHECKING:
    from tabtools.sheet.page import Draft

PAGE, PAPER, PICTURE = "html", "pdf", "svg"
MARK, CARD = "tabtools-mark", "tabtools-card"
_CARD = re.compile(rf'<meta name="{CARD}" content="([^"]*)">'.encode())


class Wish(NamedTuple):
    """What kind of sheet is wanted; the names are those of the command's options."""

    kind: str = PAGE
    staves: str = "both"
    left_handed: bool = False
    why: bool = False
    draft: bool = False
    paper: str = "a4"
    recording: str | None = None


class Made(NamedTuple):
    """A sheet, or the finding that says why there is none; and remarks for the user."""

    data: bytes | None = None
    failed: FileFindings | None = None
    remarks: tuple[str, ...] = ()


def stamp(data: bytes, wish: Wish, program: str) -> str:
    """What a sheet is known by: equal stamps are equal sheets."""
    from hashlib import blake2b

    all_of_it = b"\0".join((data, repr(wish).encode("utf-8", "surrogatepass"), program.encode()))
    return f"made-from-{blake2b(all_of_it, digest_size=16).hexdigest()}"


def make(name: str, data: bytes, limit: int, wish: Wish, mark: str) -> Made:
    """The sheet of a lesson; ``mark`` is kept in it. All that fails becomes a finding."""
    part = "reading the file"
    try:
        from tabtools.preparing import Wishes, prepared
        from tabtools.reading import read

        document = read(name, data, Defaults(max_bytes=limit))
        part = "making the sheet"
        ready, remarks = prepared(document, Wishes(tab=True))
        placed = ready.score != document.score and document.tree is not None
        return Made(
            _sheet(ready, wish, mark, _drafts(document) if wish.draft else (), placed), remarks=remarks
        )
    except Exception as error:
        return Made(failed=failure(name, error, part))


def _sheet(document: Document, wish: Wish, mark: str, draft: tuple[Draft, ...], placed: bool) -> bytes:
    from tabtools.sheet.lesson import lesson_of
    from tabtools.sheet.pictures import Look

    title = os.path.splitext(os.path.basename(document.source.name))[0]
    lesson = lesson_of(document, title, placed=placed)
    look = Look(wish.staves, wish.left_handed, wish.why)
    if wish.kind == PAPER:
        from tabtools.sheet.paper import lesson_paper

        return lesson_paper(lesson, look, wish.paper, draft, mark)
    if wish.kind == PICTURE:
        from tabtools.sheet.picture import lesson_picture

        return lesson_picture(lesson, look).encode("utf-8", "replace")
    from tabtools.sheet.page import lesson_page
    from tabtools.sheet.recording import Recording

    recording = Recording(wish.recording) if wish.recording else None
    from tabtools.sheet.index import card_of, card_text

    metas = {MARK: mark, CARD: card_text(card_of(lesson))}
    return lesson_page(lesson, look, draft, recording, metas).encode("utf-8", "replace")


def _drafts(document: Document) -> tuple[Draft, ...]:
    """Errors and warnings of a lesson, for its author."""
    from tabtools.lint.engine import check
    from tabtools.lint.finding import Severity
    from tabtools.lint.rules import load_all
    from tabtools.sheet.page import Draft

    return tuple(
        Draft(
            f"line {document.source.position(finding.span.start)[0]}", f"{finding.message} ({finding.rule})"
        )
        for finding in check(document, load_all())
        if finding.severity >= Severity.WARNING
    )


def card_in(page: bytes) -> str | None:
    """What an index says of a page that was made before, as JSON; None for any other page."""
    match = _CARD.search(page)
    return unescape(match[1].decode()) if match else None
