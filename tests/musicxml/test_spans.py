"""Spans of elements: exact, worked out late, and plain values to everybody who gets one."""

from __future__ import annotations

import copy
import pickle

import pytest
from lxml import etree

from tabtools.musicxml import extents
from tabtools.musicxml.extents import ElementSpan, Extents
from tabtools.musicxml.reader import read_musicxml
from tabtools.musicxml.writer import write_musicxml
from tabtools.source import Span
from tests.musicxml.samples import LICK

_TEXT = "<measure><note/><note>\n</note></measure>"


def _note(number: int) -> ElementSpan:
    root = etree.fromstring(_TEXT)
    return Extents(_TEXT, root).span(root[number])


def test_a_span_is_that_of_its_element() -> None:
    assert (_note(0).start, _note(0).end) == (9, 16)
    assert _TEXT[_note(1).start : _note(1).end] == "<note>\n</note>"
    root = etree.fromstring(_TEXT)
    where = Extents(_TEXT, root)
    both = where.span(root[0]).up_to(where.span(root[1]))
    assert _TEXT[both.start : both.end] == "<note/><note>\n</note>"


def test_it_is_as_good_as_a_plain_one() -> None:
    lazy, plain = _note(1), Span(16, 30)
    assert lazy == plain
    assert plain == lazy
    assert hash(lazy) == hash(plain)
    assert repr(lazy) == repr(plain)
    assert lazy != Span(16, 31)
    assert pickle.loads(pickle.dumps(lazy)) == plain
    assert copy.deepcopy(lazy) == plain
    with pytest.raises(AttributeError):
        lazy.length  # noqa: B018


def test_reading_works_none_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """The search through the text is what makes spans dear; a reading alone does without it."""

    def refuse(*_: object) -> None:
        raise AssertionError("somebody asked")

    monkeypatch.setattr(extents, "_extents", refuse)
    bar = read_musicxml("x", write_musicxml(LICK)).score.parts[0].bars[0]
    with pytest.raises(AssertionError, match="somebody asked"):
        assert bar.spans[0].start
