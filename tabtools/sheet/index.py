"""The contents page of a course: every lesson with what an index says of it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from urllib.parse import quote

from tabtools.drawing.shapes import attribute, content
from tabtools.record import NamedTuple
from tabtools.sheet.lesson import Lesson
from tabtools.sheet.page import document
from tabtools.techniques import TECHNIQUES


class Card(NamedTuple):
    """What an index says of a lesson."""

    title: str
    key: str
    forms: tuple[str, ...]
    techniques: tuple[str, ...]


def card_of(lesson: Lesson) -> Card:
    """The card of a lesson: forms and techniques in the order of their tables."""
    forms = {segment.reading.form for segment in lesson.segments if segment.reading is not None}
    names = {
        technique.name
        for part in lesson.score.parts
        for bar in part.bars
        for event in bar.events
        for note in event.notes
        for technique in note.techniques
    }
    told = tuple(kind.says.partition(":")[0] for kind in TECHNIQUES if kind.name in names)
    key = dict(lesson.facts).get("Key", "")
    return Card(lesson.title, key, tuple(form for form in "CAGED" if form in forms), told)


def card_text(card: Card) -> str:
    """A card as JSON."""
    return json.dumps(card._asdict(), ensure_ascii=False)


def card_from(text: str) -> Card:
    """The card that a text holds. Raises ValueError for any other text."""
    fields = json.loads(text)
    return Card(fields["title"], fields["key"], tuple(fields["forms"]), tuple(fields["techniques"]))


def index_page(title: str, cards: Sequence[tuple[str, Card]]) -> str:
    """The contents page; each card comes with the place of its sheet, relative to this page, with slashes."""
    rows = "".join(_row(place, card) for place, card in cards)
    heads = "".join(
        f'<th scope="col">{words}</th>' for words in ("Lesson", "Key", "Forms", "How it is played")
    )
    table = f'<table class="index"><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>'
    count = f"{len(cards)} lesson{'' if len(cards) == 1 else 's'}"
    body = f"<header><h1>{content(title)}</h1><p>{count}</p></header><main>{table}</main>"
    return document(title, body)


def _row(place: str, card: Card) -> str:
    link = f'<a href="{attribute(quote(place))}">{content(card.title)}</a>'
    cells = (card.key, " ".join(card.forms), ", ".join(card.techniques))
    return f"<tr><td>{link}</td>{''.join(f'<td>{content(cell)}</td>' for cell in cells)}</tr>"
