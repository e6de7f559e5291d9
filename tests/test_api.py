"""The names that the package offers are there, and cost nothing until they are used."""

from __future__ import annotations

import subprocess
import sys

import pytest

import tabtools


@pytest.mark.parametrize("name", [name for name in tabtools.__all__ if name != "__version__"])
def test_every_public_name_is_there(name: str) -> None:
    assert getattr(tabtools, name).__doc__


def test_an_unknown_name_is_an_attribute_error() -> None:
    with pytest.raises(AttributeError, match="no attribute 'tune'"):
        _ = tabtools.tune  # type: ignore[attr-defined]


def test_import_loads_nothing_else() -> None:
    code = "import sys, tabtools; print(sorted(m for m in sys.modules if m.startswith('tabtools')))"
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "['tabtools']"


def test_the_way_from_bytes_to_findings_and_back_to_bytes() -> None:
    page = b"Key: G\n\n   D\ne|-2---3---|\nB|-3-------|\nG|-2-------|\n"
    document = tabtools.read("lick.txt", page)
    findings = tabtools.check(document, tabtools.load_all())
    assert [finding.rule for finding in findings] == ["missing-string", "colour-note"]
    assert tabtools.read("lick.musicxml", tabtools.write_musicxml(document.score)).score.parts[0].bars
