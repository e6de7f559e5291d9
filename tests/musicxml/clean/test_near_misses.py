"""What looks like a fault and is none, and what is one: each file says which rules find something."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tabtools.lint.engine import check
from tabtools.lint.rules import load_all
from tabtools.musicxml.clean.faults import find_faults
from tabtools.musicxml.reader import read_musicxml
from tests.musicxml.mending import mended
from tests.xsd import problems

_FILES = sorted((Path(__file__).parents[2] / "cases" / "musicxml" / "near-misses").glob("*.musicxml"))
_OF_THE_FILE = {rule.name for rule in load_all() if rule.group == "MusicXML"}
_TOO = {"bar-overfull", "bar-underfull", "same-string-clash", "legato-direction", "fret-off-neck"}


@pytest.mark.parametrize("path", _FILES, ids=lambda path: path.stem)
def test_it_finds_what_the_file_says(path: Path) -> None:
    data = path.read_bytes()
    assert problems(data) == []
    says = re.search(rb"<!-- Finds: (.*?)\. -->", data)
    assert says is not None
    wanted = set(says.group(1).decode().split()) - {"nothing"}
    findings = check(read_musicxml(path.name, data), load_all())
    assert {finding.rule for finding in findings} & (_OF_THE_FILE | _TOO) == wanted


@pytest.mark.parametrize("path", _FILES, ids=lambda path: path.stem)
def test_what_is_repaired_is_gone_and_nothing_new_comes(path: Path) -> None:
    document = read_musicxml(path.name, path.read_bytes())
    done = mended(document)
    before = sorted(fault.rule for fault in find_faults(document))
    after = sorted(fault.rule for fault in find_faults(done.document))
    assert sorted([*after, *done.rules]) == before
    assert problems(document.source.encode(done.text)) == []
