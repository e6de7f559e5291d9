"""The command that makes sheets of lessons."""

from __future__ import annotations

import json
import re
from pathlib import Path
from shutil import which
from subprocess import run as run_program

import pytest

from tests.cli.support import CLEAN, OFF_NECK, run, write

pytest.importorskip("verovio", reason="the extra [sheet] is not installed")
pytest.importorskip("typst", reason="the extra [sheet] is not installed")

_SAMPLES = Path(__file__).parents[2] / "samples"
_LICK = _SAMPLES / "02-three-forms-one-hand.txt"


def test_a_page_is_one_file_that_needs_nothing_else(tmp_path: Path) -> None:
    page = tmp_path / "lesson.html"
    result = run("sheet", _LICK, "-o", page)
    assert (result.exit_code, result.stdout) == (0, "")
    text = page.read_text("utf-8")
    assert len(text) <= 400_000
    assert "default-src 'none'" in text
    assert re.findall(r'(?:src|href)="([^"#][^"]*)"', text) == ["data:,"]
    assert "http" not in text.replace("http-equiv", "")
    for words in (
        "Three forms, one hand",
        "Runa Thistlewood",
        "The next chord is never far away",
        "Every note",
    ):
        assert words in text


def test_a_pdf_holds_every_word_and_fret(tmp_path: Path) -> None:
    paper = tmp_path / "lesson.pdf"
    assert run("sheet", _LICK, "-o", paper, "--why", "--paper", "letter").exit_code == 0
    assert paper.read_bytes().startswith(b"%PDF")
    if which("pdftotext") is None:
        pytest.skip("pdftotext is not installed")
    text = run_program(
        ["pdftotext", "-layout", paper, "-"], capture_output=True, text=True, check=True
    ).stdout
    for words in (
        "Three forms, one hand",
        "Runa Thistlewood",
        "never far away",
        "Around the fifth fret",
        "Bm",
    ):
        assert words in text
    frets = set(re.findall(r"(?<!\d)\d{1,2}(?!\d)", text))
    assert {"5", "7", "8", "9", "10", "11", "12"} <= frets


def test_equal_lessons_give_equal_sheets(tmp_path: Path) -> None:
    for name in ("a.pdf", "b.pdf", "a.html", "b.html"):
        assert run("sheet", _LICK, "-o", tmp_path / name).exit_code == 0
    for suffix in ("pdf", "html"):
        assert (tmp_path / f"a.{suffix}").read_bytes() == (tmp_path / f"b.{suffix}").read_bytes()


def test_a_course_gets_an_index_and_unchanged_lessons_are_not_made_again(tmp_path: Path) -> None:
    course, site = tmp_path / "course", tmp_path / "site"
    write(str(course / "one.txt"), f"Title: One & only\n{CLEAN}")
    write(str(course / "deeper" / "two.txt"), f"Title: Two\n{CLEAN}")
    assert run("sheet", course, "--out-dir", site).exit_code == 0
    index = (site / "index.html").read_text("utf-8")
    assert re.findall(r'<a href="([^"]+)">([^<]+)</a>', index) == [
        ("deeper/two.html", "Two"),
        ("one.html", "One &amp; only"),
    ]
    before = {path: path.stat().st_mtime_ns for path in site.rglob("*.html") if path.name != "index.html"}
    write(str(course / "one.txt"), f"Title: One and more\n{CLEAN}")
    assert run("sheet", course, "--out-dir", site).exit_code == 0
    changed = {path.name for path, time in before.items() if path.stat().st_mtime_ns != time}
    assert changed == {"one.html"}
    assert "One and more" in (site / "index.html").read_text("utf-8")


def test_a_lesson_that_cannot_be_read_is_a_finding_and_the_others_are_made(tmp_path: Path) -> None:
    course, site = tmp_path / "course", tmp_path / "site"
    write(str(course / "good.txt"), CLEAN)
    write(str(course / "bad.musicxml"), "<?xml version='1.0'?><score-partwise><part>")
    result = run("sheet", course, "--out-dir", site)
    assert result.exit_code == 1
    assert "bad.musicxml" in result.stdout
    assert sorted(path.name for path in site.iterdir()) == ["good.html", "index.html"]


def test_findings_stand_on_the_draft_only(tmp_path: Path) -> None:
    lesson = tmp_path / "lesson.txt"
    write(str(lesson), OFF_NECK)
    for name, wishes in (("draft.html", ["--draft"]), ("final.html", [])):
        assert run("sheet", lesson, "-o", tmp_path / name, *wishes).exit_code == 0
        assert ("off the neck" in (tmp_path / name).read_text("utf-8")) == bool(wishes)


def test_notation_without_strings_gets_them_and_says_so(tmp_path: Path) -> None:
    tune = tmp_path / "tune.musicxml"
    assert run("convert", _LICK, "-o", tune).exit_code == 0
    text = re.sub(r"<(string|fret)>\d+</\1>", "", tune.read_text("utf-8"))
    tune.write_text(text, "utf-8")
    assert run("sheet", tune, "-o", tmp_path / "tune.html").exit_code == 0
    page = (tmp_path / "tune.html").read_text("utf-8")
    assert 'class="fret"' in page
    assert "were worked out" in page


def test_a_recording_is_played_from_the_times_that_the_author_wrote(tmp_path: Path) -> None:
    lesson, sound = tmp_path / "lesson.txt", tmp_path / "my take.ogg"
    write(str(lesson), CLEAN.replace("   q   q", "[Riff, 0:42]\n   q   q"))
    sound.write_bytes(b"OggS")
    assert run("sheet", lesson, "-o", tmp_path / "a.html", "--audio", sound).exit_code == 0
    page = (tmp_path / "a.html").read_text("utf-8")
    assert 'src="my%20take.ogg"' in page
    assert 'data-from="42"' in page
    assert run("sheet", lesson, "-o", tmp_path / "b.html", "--audio", sound, "--embed-audio").exit_code == 0
    assert "base64,T2dnUw==" in (tmp_path / "b.html").read_text("utf-8")


@pytest.mark.parametrize(
    "arguments",
    [
        ["a.txt"],
        ["a.txt", "-o", "a.docx"],
        ["a.txt", "b.txt", "-o", "a.html"],
        ["a.txt", "-o", "a.html", "--audio", "none.ogg"],
        ["a.txt", "-o", "a.html", "--embed-audio"],
        ["a.txt", "-o", "a.pdf", "--audio", "a.txt"],
        ["a.txt", "-o", "a.txt", "--to", "html"],
    ],
    ids=" ".join,
)
def test_wrong_wishes_are_refused_and_nothing_is_written(
    arguments: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    for name in ("a.txt", "b.txt"):
        write(name, CLEAN)
    assert run("sheet", *arguments).exit_code == 2
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.txt", "b.txt"]


def test_what_is_played_is_said_exactly(tmp_path: Path) -> None:
    page = tmp_path / "a.html"
    lesson = tmp_path / "a.txt"
    write(str(lesson), f"Tempo: 120\n{CLEAN}")
    assert run("sheet", lesson, "-o", page).exit_code == 0
    match = re.search(r'id="sound">(.*?)</script>', page.read_text("utf-8"))
    assert match is not None
    (part,) = json.loads(match[1])
    assert part["bars"] == [[4, 120, [0, 1, 2, 3]]]
    # Open strings D3 50, G3 55, B3 59 as MIDI numbers, and the frets 7, 5, 7, 5.
    assert [note[:4] for note in part["notes"]] == [
        [0, 0, 1, 57],
        [0, 1, 1, 60],
        [0, 2, 1, 62],
        [0, 3, 1, 64],
    ]
