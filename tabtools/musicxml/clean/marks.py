"""Marks that come in pairs, start and stop, put on a note."""

from __future__ import annotations

from lxml import etree

from tabtools.musicxml.edit.insert import insert_at, insert_before
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.writing.fragment import tag
from tabtools.source import Edit

_HOLDERS = {"tie": "", "hammer-on": "notations/technical", "pull-off": "notations/technical"}


_LABELS = {"hammer-on": "H", "pull-off": "P"}


def add_mark(
    where: Extents, note: etree._Element, name: str, end: str, number: str | None = None, text: str = ""
) -> list[Edit]:
    """The edits that put a start or stop on a note, below the elements that hold it, made where missing.

    A stop goes before a start of the same name, as the schema's documentation asks, and a hammer-on or
    pull-off before the string.
    """
    attributes = {"number": number} if number else {}
    label = text or (_LABELS.get(name, "") if end == "start" else "")
    mark = tag(name, *((label,) if label else ()), type=end, **attributes)
    holder = _HOLDERS.get(name, "notations")
    if end == "stop":
        for element in note.iterfind(f"{holder}/{name}" if holder else name):
            if element.get("type") == "start":
                return [insert_before(where, element, mark)]
    beside = note.find(f"{holder}/*") if name in _LABELS else None
    if beside is not None:
        return [insert_before(where, beside, mark)]
    return insert_at(where, note, holder, mark)
