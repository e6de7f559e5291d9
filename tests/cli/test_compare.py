"""``tabtools compare`` on the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.support import run
from tests.schemas import assert_strict, assert_valid

_SAMPLES = Path(__file__).parents[2] / "samples"
_LESSON = _SAMPLES / "02-three-forms-one-hand.txt"


@pytest.fixture(name="take")
def _take(tmp_path: Path) -> Path:
    path = tmp_path / "take-2.txt"
    text = _LESSON.read_text("utf-8")
    path.write_text(
        text.replace("Tempo: 66", "Tempo: 72").replace("B|-------8---8---", "B|-------8---10--"), "utf-8"
    )
    return path


def test_two_files(take: Path) -> None:
    result = run("compare", _LESSON, take)
    assert result.exit_code == 0
    assert result.stdout.splitlines()[1:] == [
        "  tempo: 72 instead of 66",
        "  bar 7: A4 instead of G4",
    ]


def test_the_same_file_has_no_differences() -> None:
    assert run("compare", _LESSON, _LESSON.parent / _LESSON.name).exit_code == 2  # it is one file
    text = run("compare", _LESSON, _LESSON.parent / "." / _LESSON.name).stderr
    assert "has one part" in text


def test_json_fits_its_schema(take: Path) -> None:
    text = run("compare", _LESSON, take, "--report", "json").stdout
    assert_valid("compare", text)
    assert_strict("compare", text, [])
    assert_strict("compare", text, ["differences", 0])


def test_a_motif_in_its_own_lesson() -> None:
    result = run("compare", _LESSON, "--motif", "7")
    assert result.exit_code == 0
    assert result.stdout.startswith(f"bars 7 of {_LESSON}, Guitar come again")
    text = run("compare", _LESSON, "--motif", "7", "--report", "json").stdout
    assert_valid("compare", text)


@pytest.mark.parametrize(
    "arguments", [("--motif", "9-99"), ("--part", "Bass"), ("--motif", "x"), (_LESSON, _LESSON)], ids=str
)
def test_what_makes_no_sense_is_refused(arguments: tuple[str, ...]) -> None:
    assert run("compare", _LESSON, *arguments).exit_code == 2
