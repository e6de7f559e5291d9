"""Pages as strangers type them, once misread, against readings written before the program saw them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tabtools.reading import read
from tests.benchmarks.pages import compare

PAGES = sorted((Path(__file__).parent.parent / "cases" / "strangers").glob("*.txt"))


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.stem)
def test_reads_a_page_of_a_stranger(path: Path) -> None:
    want = json.loads(path.with_suffix(".expect.json").read_text("utf-8"))
    result = compare(read(path.name, path.read_bytes()), want)
    assert result.wrong == []
    assert result.exact
