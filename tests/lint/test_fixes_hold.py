"""What must hold of repairs whatever the page: twice equals once, and none of them is a fault of ours."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from tabtools.document import Document
from tabtools.lint.fixes import repair
from tabtools.lint.plan import plain
from tabtools.lint.rules import load_all
from tabtools.reading import read
from tabtools.source import UnreadableError

_ROOT = Path(__file__).parents[2]
_PAGES = [
    path.read_bytes().decode("utf-8", "replace")
    for folder in ("samples/drafts", "tests/cases/wild", "samples")
    for path in sorted((_ROOT / folder).glob("*.txt"))
]
_PLAN = plain(load_all())


def _read(text: str) -> Document:
    return read("page.txt", text.encode("utf-8", "replace"))


@settings(max_examples=30)
@given(
    page=st.sampled_from(_PAGES),
    place=st.floats(0, 0.999),
    cut=st.integers(0, 3),
    put=st.text("-|0123456789hpb/~x()<>@ \n", max_size=3),
    unsafe=st.booleans(),
)
def test_repairs_of_damaged_pages(page: str, place: float, cut: int, put: str, unsafe: bool) -> None:
    at = int(place * len(page))
    try:
        document = _read(page[:at] + put + page[at + cut :])
    except UnreadableError:
        return
    once = repair(document, _PLAN, _read, unsafe=unsafe)
    assert [finding.message for finding in once.left.findings if finding.rule == "internal"] == []
    twice = repair(_read(once.text), _PLAN, _read, unsafe=unsafe)
    assert (twice.text, twice.rules) == (once.text, ())
