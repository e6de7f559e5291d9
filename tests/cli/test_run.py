"""One run over many files: processes, reports, watching, progress."""

from __future__ import annotations

import io
import os
import sys
from pathlib import Path

import pytest

from tabtools.cli.files import discover
from tabtools.cli.run import Caches, Mode
from tabtools.cli.run import run as run_inputs
from tabtools.cli.settings import Settings
from tabtools.lint.rules import Rules
from tests.cli.support import CLEAN, OFF_NECK, run, write


def _many(number: int = 12) -> None:
    for index in range(number):
        write(f"{index:03}.txt", OFF_NECK.replace("A minor", f"A minor\nTitle: Lesson {index}"))


def test_more_processes_give_the_same_bytes(here: Path) -> None:
    _many(20)
    alone = run("check", ".", "--forget", "--jobs", "1").stdout
    assert run("check", ".", "--forget", "--jobs", "3").stdout == alone


def test_several_reports_at_once(here: Path) -> None:
    write("a.txt", OFF_NECK)
    files = [f"{form}:out.{form}" for form in ("json", "sarif", "junit", "github", "gitlab", "text")]
    result = run("check", "a.txt", *(part for file in files for part in ("--report", file)))
    assert result.stdout.endswith("1 file: 1 error, 0 warnings, 0 infos\n")
    for form in ("json", "sarif", "junit", "github", "gitlab", "text"):
        assert "fret-off-neck" in Path(f"out.{form}").read_text("utf-8")
    assert run("check", "a.txt", "--report", "xml").exit_code == 2
    both = run("check", "a.txt", "--report", "json", "--report", "sarif")
    assert (both.exit_code, both.stderr.count("\n")) == (2, 1)


def test_watching_checks_again(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write("a.txt", CLEAN)
    pauses = []

    def pause(seconds: float) -> None:
        pauses.append(seconds)
        if len(pauses) == 1:
            write("a.txt", OFF_NECK)
            os.utime("a.txt", (1, 1))
        elif len(pauses) == 3:
            write("tabtools.toml", 'without = ["fret-off-neck"]\n')
        elif len(pauses) == 5:
            raise KeyboardInterrupt

    monkeypatch.setattr("tabtools.cli.watch.time.sleep", pause)
    result = run("check", "a.txt", "--watch")
    assert result.exit_code == 130
    assert [line for line in result.stdout.splitlines() if "1 file: " in line] == [
        "1 file: 0 errors, 0 warnings, 0 infos",
        "1 file: 1 error, 0 warnings, 0 infos",
        "1 file: 0 errors, 0 warnings, 0 infos",
    ]


def test_a_long_run_shows_its_progress_on_a_terminal(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    _many(3)
    entries = discover(["."])
    for stream, words in ((Terminal(), "[##########--------------------] 1/3 files"), (io.StringIO(), "")):
        monkeypatch.setattr(sys, "stderr", stream)
        monkeypatch.setattr("tabtools.cli.run.PROGRESS_AFTER", -1.0)
        run_inputs(entries, Settings(Rules()), Mode(), Caches())
        assert words in stream.getvalue()
        assert bool(words) == bool(stream.getvalue())
