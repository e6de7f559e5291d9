from __future__ import annotations

from collections.abc import Callable

import pytest

from tabtools.musicxml.edit.insert import insert, insert_at, remove, set_attribute, set_text
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.writing.fragment import tag
from tabtools.source import Edit, applied
from tests.musicxml.test_extents import extents_of

NOTE = """\
<note>
  <pitch><step>C</step><octave>4</octave></pitch>
  <duration>1</duration> <!-- kept -->
  <type>quarter</type>
  <notations/>
</note>
"""


def _edited(edit: Callable[[Extents], list[Edit]], text: str = NOTE) -> str:
    return applied(text, edit(extents_of(text)))


def test_in_schema_order_on_a_line_of_its_own() -> None:
    made = _edited(lambda w: insert(w, w.root, tag("staff", 1), tag("tie", type="start"), tag("dot")))
    assert made == NOTE.replace("</duration>", '</duration>\n  <tie type="start"/>').replace(
        "</type>", "</type>\n  <dot/>\n  <staff>1</staff>"
    )


def test_before_all_others() -> None:
    assert _edited(lambda w: insert(w, w.root, tag("grace"))).startswith("<note>\n  <grace/>\n  <pitch>")


@pytest.mark.parametrize(
    ("path", "made"),
    [
        ("notations", "<notations><fret>3</fret></notations>"),
        ("notations/technical", "<notations><technical><fret>3</fret></technical></notations>"),
    ],
)
def test_into_an_element_that_closed_itself(path: str, made: str) -> None:
    assert _edited(lambda w: insert_at(w, w.root, path, tag("fret", 3))) == NOTE.replace("<notations/>", made)


def test_what_is_put_in_can_be_taken_out_again() -> None:
    made = _edited(lambda w: insert(w, w.root, tag("dot")))
    assert _edited(lambda w: [remove(w, e) for e in w.root.iter("dot")], made) == NOTE


def test_other_text_keeps_the_space_around_it() -> None:
    text = "<a><b> 3\n</b><b/></a>"
    made = applied(text, [set_text(w := extents_of(text), w.root[0], "4"), set_text(w, w.root[1], "5")])
    assert made == "<a><b> 4\n</b><b>5</b></a>"


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ('<a n="1" />', '<a n="2" />'),
        ("<a n='1'></a>", "<a n='2'></a>"),
        ("<a m='n=1' />", "<a m='n=1' n=\"2\" />"),
        ("<a></a>", '<a n="2"></a>'),
    ],
)
def test_attributes(before: str, after: str) -> None:
    assert _edited(lambda w: [set_attribute(w, w.root, "n", "2")], before) == after
