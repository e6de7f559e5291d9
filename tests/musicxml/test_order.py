"""Our table of child orders against the schema itself."""

from __future__ import annotations

from functools import cache
from itertools import product

import pytest
from lxml import etree

from tabtools.musicxml.order import CHILD_ORDER
from tests.xsd import xsd_path

_X = "{http://www.w3.org/2001/XMLSchema}"


@cache
def _root() -> etree._Element:
    return etree.parse(str(xsd_path())).getroot()


def _named(kind: str, name: str) -> etree._Element:
    return next(e for e in _root().iter(_X + kind) if e.get("name") == name)


def _content(element: str) -> etree._Element:
    """The type of an element, by name or inline."""
    declared = _named("element", element)
    inline = declared.find(f"{_X}complexType")
    return inline if inline is not None else _named("complexType", declared.get("type") or "")


def _sequences(node: etree._Element) -> list[tuple[str, ...]]:
    """Every order of children that the schema allows below a node; free choices count as no order."""
    if node.tag == _X + "element":
        return [(node.get("name") or node.get("ref") or "",)]
    if node.tag == _X + "group" and node.get("ref"):
        return _sequences(_named("group", node.get("ref") or ""))
    children = [child for child in node if child.tag in _ORDERED]
    if node.tag == _X + "choice":
        if node.get("maxOccurs") == "unbounded":
            return [()]
        return [sequence for child in children for sequence in _sequences(child)]
    found = [sum(parts, ()) for parts in product(*map(_sequences, children))]
    if node.tag == _X + "extension" and _is_complex(node.get("base") or ""):
        found = [a + b for a in _sequences(_named("complexType", node.get("base") or "")) for b in found]
    return found


_ORDERED = {_X + name for name in ("element", "group", "sequence", "choice", "complexContent", "extension")}


def _is_complex(name: str) -> bool:
    return any(e.get("name") == name for e in _root().iter(_X + "complexType"))


@pytest.mark.parametrize("parent", CHILD_ORDER)
def test_our_order_is_that_of_the_schema(parent: str) -> None:
    ours = CHILD_ORDER[parent]
    for sequence in _sequences(_content(parent)):
        shared = [child for child in sequence if child in ours]
        assert [child for child in ours if child in shared] == list(dict.fromkeys(shared))


@pytest.mark.parametrize("parent", CHILD_ORDER)
def test_all_our_children_are_in_the_schema(parent: str) -> None:
    known = {e.get("name") or e.get("ref") for e in _reached(_content(parent))}
    assert set(CHILD_ORDER[parent]) <= known


def _reached(node: etree._Element) -> list[etree._Element]:
    found = list(node.iter(_X + "element"))
    for group in node.iter(_X + "group"):
        if group.get("ref"):
            found += _reached(_named("group", group.get("ref") or ""))
    for extension in node.iter(_X + "extension"):
        if _is_complex(extension.get("base") or ""):
            found += _reached(_named("complexType", extension.get("base") or ""))
    return found
