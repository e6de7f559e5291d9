from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.support import CLEAN, OFF_NECK, RAGGED, run


def _names(directory: Path) -> list[str]:
    return sorted(path.name for path in directory.iterdir())


def _lick(directory: Path, text: str = CLEAN, name: str = "lick.txt") -> Path:
    path = directory / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text)
    return path


@pytest.mark.parametrize(
    ("suffix", "start"),
    [
        (".musicxml", b"<?xml"),
        (".xml", b"<?xml"),
        (".mxl", b"PK"),
        (".json", b"{\n"),
        (".txt", b"Tuning: "),
        (".TAB", b"Tun"),
    ],
)
def test_the_suffix_says_the_format(tmp_path: Path, suffix: str, start: bytes) -> None:
    out = tmp_path / f"out{suffix}"
    result = run("convert", _lick(tmp_path), "-o", out)
    assert (result.exit_code, result.stdout, result.stderr) == (0, "", "")
    assert out.read_bytes().startswith(start)


def test_there_and_back(tmp_path: Path) -> None:
    lick = _lick(tmp_path)
    first, xml, mxl, second = (tmp_path / name for name in ("1.txt", "a.musicxml", "a.mxl", "2.txt"))
    for source, target in ((lick, first), (first, xml), (xml, mxl), (mxl, second)):
        assert run("convert", source, "-o", target).exit_code == 0
    assert second.read_text() == first.read_text()


def test_standard_input_and_output() -> None:
    result = run("convert", "-", "-o", "-", "--to", "json", stdin=CLEAN)
    assert (result.exit_code, result.stderr) == (0, "")
    assert json.loads(result.stdout)["format"] == "tabtools-score"


def test_json_holds_the_findings(tmp_path: Path) -> None:
    out = tmp_path / "out.json"
    assert run("convert", _lick(tmp_path, OFF_NECK), "-o", out).exit_code == 0
    assert [finding["rule"] for finding in json.loads(out.read_text())["findings"]] == ["fret-off-neck"]


def test_into_a_directory(tmp_path: Path) -> None:
    _lick(tmp_path / "in", name="a.txt")
    _lick(tmp_path / "in", name="sub/b.tab")
    out = tmp_path / "new" / "out"
    assert run("convert", tmp_path / "in", "--to", "musicxml", "--out-dir", out).exit_code == 0
    assert sorted(str(path.relative_to(out)) for path in out.rglob("*.*")) == ["a.musicxml", "sub/b.musicxml"]


def test_an_unreadable_input_is_reported_and_the_others_are_converted(tmp_path: Path) -> None:
    bad, good = _lick(tmp_path, "words\n", "bad.txt"), _lick(tmp_path)
    result = run("convert", bad, good, "--to", "json", "--out-dir", tmp_path / "out")
    assert result.exit_code == 1
    assert f"{bad}:1:1: error unreadable: no tab found" in result.stdout
    assert _names(tmp_path / "out") == ["lick.json"]


def test_the_report_gives_way_to_a_result_on_standard_output() -> None:
    result = run("convert", "-", "-o", "-", "--to", "json", stdin="words\n")
    assert (result.exit_code, result.stdout) == (1, "")
    assert "<stdin>:1:1: error unreadable" in result.stderr


def test_a_failed_conversion_leaves_the_old_output(tmp_path: Path) -> None:
    out = _lick(tmp_path, "precious", "out.musicxml")
    assert run("convert", _lick(tmp_path, "words\n"), "-o", out).exit_code == 1
    assert out.read_text() == "precious"


def test_a_file_is_not_converted_onto_itself(tmp_path: Path) -> None:
    lick = _lick(tmp_path, "Words that no score holds.\n\n" + CLEAN)
    before = lick.read_bytes()
    targets: tuple[list[str | Path], ...] = (["-o", lick], ["--to", "text", "--out-dir", tmp_path])
    for target in targets:
        result = run("convert", lick, *target)
        assert result.exit_code == 2
        assert "is the input itself" in result.stderr
    assert lick.read_bytes() == before


def test_doubts_are_told(tmp_path: Path) -> None:
    lick = _lick(tmp_path, RAGGED)
    result = run("convert", lick, "-o", tmp_path / "x.json")
    assert result.exit_code == 0
    assert f"{lick}: read with doubts in " in result.stderr
    assert f"tabtools check {lick} shows them" in result.stderr


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["lick.txt"], "say where to write"),
        (["lick.txt", "-o", "x.json", "--out-dir", "d"], "say where to write"),
        (["lick.txt", "-o", "x.pdf"], "give the format with --to"),
        (["lick.txt", "-o", "-"], "give the format with --to"),
        (["lick.txt", "--out-dir", "d"], "give the format with --to"),
        (["lick.txt", "lick.tab", "-o", "x.json"], "-o takes one input and there are 2"),
        (["lick.txt", "lick.tab", "--to", "json", "--out-dir", "d"], "would both be written to d/lick.json"),
        (["lick.txt", "-o", "d.json"], "d.json"),
        (["lick.txt", "-o", "not/there/x.json", "--to", "pdf"], "'pdf' is not one of"),
        (["lick.txt", "-o", "lick.txt/x.json"], "lick.txt"),
        (["lick.txt", "-o", "readonly.json"], "readonly.json: the file is read-only"),
    ],
)
def test_wrong_use(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: list[str], words: str) -> None:
    monkeypatch.chdir(tmp_path)
    _lick(tmp_path)
    _lick(tmp_path, name="lick.tab")
    (tmp_path / "d.json").mkdir()
    _lick(tmp_path, "x", "readonly.json").chmod(0o444)
    before = _names(tmp_path)
    result = run("convert", *arguments)
    assert (result.exit_code, result.stdout) == (2, "")
    assert words in result.stderr
    assert result.stderr.count("\n") == 1
    assert _names(tmp_path) == before


def test_what_text_tab_cannot_hold_is_named(tmp_path: Path) -> None:
    source = Path(__file__).parents[2] / "samples" / "14-triplets-in-the-c-form.musicxml"
    out = tmp_path / "out.txt"
    result = run("convert", source, "-o", out)
    assert (result.exit_code, result.stdout) == (0, "")
    assert result.stderr.startswith(f"{source}: text tab can't hold all of it: ")
    assert " tuplet marks read otherwise" in result.stderr
