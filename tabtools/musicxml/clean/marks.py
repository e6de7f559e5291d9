"""Marks that come in pairs, start and stop, put on a note."""

from __future__ import annotations

from lxml import etree

from tabtools.musicxml.edit.insert import insert, insert_before
from tabtools.musicxml.positions import Located
from tabtools.musicxml.writing.fragment import Fragment, tag
from tabtools.source import Edit

_HOLDERS = {
    "tie": (),
    "hammer-on": ("notations", "technical"),
    "pull-off": ("notations", "technical"),
}
_NOTATIONS = ("notations",)


def add_mark(
    where: Located, note: etree._Element, name: str, end: str, number: str | None = None, text: str = ""
) -> list[Edit]:
    """The edits that put a start or stop on a note, below the elements that hold it, made where missing.

    A stop goes before a start of the same name, as the schema's documentation asks.
    """
    attributes = {"number": number} if number else {}
    mark = tag(name, *((text,) if text else ()), **attributes, type=end)
    holder = note
    path = list(_HOLDERS.get(name, _NOTATIONS))
    while path and (inner := holder.find(path[0])) is not None:
        holder = inner
        path.pop(0)
    for name_of_holder in reversed(path):
        mark = _inside(name_of_holder, mark)
    starts = [e for e in holder.iterfind(name) if e.get("type") == "start"]
    if end == "stop" and starts and not path:
        return [insert_before(where, starts[0], mark)]
    return insert(where, holder, mark)


def _inside(name: str, mark: Fragment) -> Fragment:
    return Fragment(name, f"<{name}>{mark.xml}</{name}>")
