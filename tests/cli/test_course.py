"""``tabtools course`` on the samples."""

from __future__ import annotations

from pathlib import Path

from tests.cli.support import run
from tests.schemas import assert_strict, assert_valid

_SAMPLES = Path(__file__).parents[2] / "samples"


def test_json_fits_its_schema() -> None:
    text = run("course", _SAMPLES, "--report", "json", "--minutes", "20").stdout
    assert_valid("course", text)
    for where in ([], ["lessons", 0], ["order", 0], ["practice", 0]):
        assert_strict("course", text, where)


def test_lessons_by_form_and_key() -> None:
    result = run("course", _SAMPLES, "--with", "C form", "--key", "D")
    assert result.exit_code == 0
    assert "Three forms, one hand" in result.stdout


def test_a_file_that_cannot_be_read_is_told_and_the_others_go_on(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("nothing here", "utf-8")
    (tmp_path / "b.txt").write_bytes((_SAMPLES / "02-three-forms-one-hand.txt").read_bytes())
    result = run("course", tmp_path)
    assert result.exit_code == 1
    assert "a.txt" in result.stderr
    assert "Three forms, one hand" in result.stdout


def test_an_unknown_key_is_refused() -> None:
    assert run("course", _SAMPLES, "--key", "H").exit_code == 2
