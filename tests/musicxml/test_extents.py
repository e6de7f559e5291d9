from __future__ import annotations

import pytest
from lxml import etree

from tabtools.musicxml.extents import Extents

AWKWARD = """\
<?xml version="1.0"?>
<!DOCTYPE a [ <!ELEMENT a ANY> ]>
<!-- <b> is not here -->
<a one="x > y" two='"'>
  <b/><?b <b>?><c><![CDATA[<b></b>]]></c
  ><b three = "4" ></b>
</a>
"""


def extents_of(text: str) -> Extents:
    return Extents(text, etree.fromstring(text.encode()))


def _shown(where: Extents, path: str) -> str:
    element = where.root.find(path)
    assert element is not None
    return where.source(element)


def test_places_in_awkward_text() -> None:
    where = extents_of(AWKWARD)
    assert [where.source(e) for e in where.root.iter("b")] == ["<b/>", '<b three = "4" ></b>']
    assert _shown(where, "c") == "<c><![CDATA[<b></b>]]></c\n  >"
    root = where[where.root]
    assert AWKWARD[root.start : root.end] == AWKWARD[AWKWARD.index("<a one") :].rstrip()
    assert AWKWARD[root.inner : root.outer].startswith("\n  <b/>")


@pytest.mark.parametrize(("path", "blank"), [("b", "\n  "), ("c", "")])
def test_blank_before(path: str, blank: str) -> None:
    where = extents_of(AWKWARD)
    element = where.root.find(path)
    assert element is not None
    assert where.blank_before(element) == blank


def test_an_element_that_closes_itself_has_no_content() -> None:
    where = extents_of("<a><b/><b></b></a>")
    one, two = where.root
    assert where[one].closes_itself
    assert not where[two].closes_itself
    assert where[two].inner == where[two].outer < where[two].end
