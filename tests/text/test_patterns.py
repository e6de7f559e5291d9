"""Patterns that are tried only where one of their words stands: whatever fits them must hold such a word."""

from __future__ import annotations

import re
from importlib import import_module
from pkgutil import walk_packages

import pytest
from hypothesis import given
from hypothesis import strategies as st

import tabtools.text
from tabtools.text.patterns import lazy


def _needing() -> list[tuple[str, re.Pattern[str]]]:
    found = {}
    for module in walk_packages(tabtools.text.__path__, "tabtools.text."):
        for name, value in vars(import_module(module.name)).items():
            if not isinstance(value, type) and hasattr(value, "words") and hasattr(value, "pattern"):
                found[value.pattern] = name, value
    return sorted(found.values(), key=lambda item: item[0])


NEEDING = _needing()


@pytest.mark.parametrize(("name", "pattern"), NEEDING, ids=[name for name, _ in NEEDING])
@given(data=st.data())
def test_what_fits_holds_one_of_the_words(name: str, pattern: re.Pattern[str], data: st.DataObject) -> None:
    text = data.draw(st.from_regex(re.compile(pattern.pattern, re.IGNORECASE), fullmatch=True))
    assert pattern.fullmatch(text) is not None, (name, text)


def test_there_are_such_patterns() -> None:
    assert len(NEEDING) > 8


def test_other_texts_are_not_tried() -> None:
    pattern = lazy(r"no (", needs=("capo",))  # would not compile
    assert pattern.search("nothing of the kind") is None
    with pytest.raises(re.error):
        pattern.search("CAPO 3")


def test_a_pattern_finds_what_a_compiled_one_finds() -> None:
    for pattern in (lazy(r"b(?P<n>\d)", re.I), lazy(r"b(?P<n>\d)", re.I, needs=("b",))):
        match = pattern.search("AB3")
        assert match is not None
        assert match["n"] == "3"
        assert pattern.match("AB3") is None
        assert pattern.fullmatch("b3") is not None
