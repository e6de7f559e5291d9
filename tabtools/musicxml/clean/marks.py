"""Marks that come in pairs, start and stop, put on a note."""

from __future__ import annotations

from lxml import etree

from tabtools.musicxml.edit.insert import insert_at, insert_before
from tabtools.musicxml.positions import Located
from tabtools.musicxml.writing.fragment import tag
from tabtools.source import Edit

_HOLDERS = {"tie": "", "hammer-on": "notations/technical", "pull-off": "notations/technical"}


def add_mark(
    where: Located, note: etree._Element, name: str, end: str, number: str | None = None, text: str = ""
) -> list[Edit]:
    """The edits that put a start or stop on a note, below the elements that hold it, made where missing.

    A stop goes before a start of the same name, as the schema's documentation asks.
    """
    attributes = {"number": number} if number else {}
    mark = tag(name, *((text,) if text else ()), **attributes, type=end)
    holder = _HOLDERS.get(name, "notations")
    if end == "stop":
        for element in note.iterfind(f"{holder}/{name}" if holder else name):
            if element.get("type") == "start":
                return [insert_before(where, element, mark)]
    return insert_at(where, note, holder, mark)
