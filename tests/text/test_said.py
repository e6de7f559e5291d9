"""Whatever the patterns for words find in a line of prose, the page is read."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tabtools.source import Source
from tabtools.text.page import facts, header_words, legend, licks, tuning_words
from tabtools.text.reader import read_text
from tabtools.text.words import annotations as around

SYSTEM = "\n".join(f"{name}|-5-7-|" for name in "eBGDAE")
PATTERNS = {
    f"{module.__name__.rpartition('.')[2]}.{name}": value.pattern
    for module in (facts, header_words, tuning_words, legend, licks, around)
    for name, value in vars(module).items()
    if not isinstance(value, type) and isinstance(getattr(value, "pattern", None), str)
}


def test_there_are_patterns_of_every_module() -> None:
    assert len({name.partition(".")[0] for name in PATTERNS}) == 6


@pytest.mark.parametrize("name", sorted(PATTERNS))
@given(data=st.data())
@settings(max_examples=30)
def test_a_page_with_words_is_read(name: str, data: st.DataObject) -> None:
    words = data.draw(st.from_regex(re.compile(PATTERNS[name], re.IGNORECASE)))
    line = " ".join(words.split())
    for page in (f"{line}\n\n{SYSTEM}\n", f"{line}\n{SYSTEM}\n{line}\n", f"Tuning: {line}\n\n{SYSTEM}\n"):
        assert read_text(Source("page.txt", page)).score.parts
