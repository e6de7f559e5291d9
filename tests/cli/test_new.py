"""``tabtools new`` and ``tabtools signs``: pages that are read without a doubt, and the table of signs."""

from __future__ import annotations

from itertools import product
from pathlib import Path

import pytest

from tabtools.instrument import TUNINGS, instrument_from
from tabtools.score import Key, TimeSignature
from tabtools.source import Source
from tabtools.text.reader import read_text
from tabtools.text.writing.format import format_text
from tabtools.text.writing.template import Wish, template
from tests.cli.support import run
from tests.schemas import assert_strict, assert_valid

_METRES = ("2/4", "3/4", "4/4", "5/4", "7/8", "6/8", "9/8", "12/8", "3/8")


def _metre(name: str) -> TimeSignature:
    beats, unit = name.split("/")
    return TimeSignature(int(beats), int(unit))


@pytest.mark.parametrize(("metre", "lengths"), list(product(_METRES, ("counts", "letters", "none"))))
def test_a_page_is_read_without_a_doubt(metre: str, lengths: str) -> None:
    for row in TUNINGS[::7]:
        wish = Wish(
            instrument_from(row), "A page", key=Key("G", 0, "major"), time=_metre(metre), bars=5, grid=8
        )
        if lengths == "letters" and metre in ("5/4", "9/8"):
            with pytest.raises(ValueError, match="ask for counts"):
                template(wish._replace(lengths=lengths))
            return
        text = template(wish._replace(lengths=lengths))
        document = read_text(Source("page", text))
        (part,) = document.score.parts
        assert document.doubts == (), text
        assert part.instrument.tuning == row.strings
        assert [bar.time.name for bar in part.bars] == [metre] * 5
        assert format_text(Source("page", text)).left == ()


def test_a_grid_that_misses_the_beats_is_refused() -> None:
    result = run("new", "-", "--time", "6/8", "--grid", "quarters")
    assert result.exit_code == 2
    assert "does not hold the beats of 6/8" in result.stderr


def test_a_file_that_exists_stays(tmp_path: Path) -> None:
    page = tmp_path / "lesson.txt"
    assert run("new", page, "--title", "Two strings", "--tempo", "80").exit_code == 0
    text = page.read_text("utf-8")
    assert text.startswith("Title: Two strings\nTuning: E A D G B E\nTime: 4/4\nTempo: 80\n\ne|---")
    result = run("new", page)
    assert (result.exit_code, page.read_text("utf-8")) == (2, text)
    assert "does not replace it" in result.stderr


def test_a_new_page_has_no_findings(tmp_path: Path) -> None:
    assert run("new", tmp_path / "a.txt", "--tuning", "ukulele", "--time", "3/4").exit_code == 0
    result = run("check", tmp_path, "--forget")
    assert result.stdout == "1 file: 0 errors, 0 warnings, 0 infos\n"


@pytest.mark.parametrize("value", ["4", "0/4", "4/3", "x"])
def test_a_metre_must_be_one(value: str) -> None:
    assert run("new", "-", "--time", value).exit_code == 2


def test_the_signs_fit_their_schema() -> None:
    text = run("signs", "--report", "json").stdout
    assert_valid("signs", text)
    assert_strict("signs", text, ["signs", 0])


def test_the_signs_as_text_and_as_a_table() -> None:
    assert "  5h7           hammer-on: reached without picking again" in run("signs").stdout
    table = run("signs", "--report", "markdown").stdout.splitlines()
    assert {line.replace("\\|", "").count("|") for line in table} == {5}
