"""Which files a check looks at: ignore files, exclusions, git, standard input."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

from tests.cli.support import CLEAN, OFF_NECK, run, write


def _git(*arguments: str) -> None:
    identity = ["-c", "user.name=t", "-c", "user.email=t@example.org"]
    subprocess.run(["git", *identity, *arguments], check=True, capture_output=True)


def _checked(*paths: str) -> list[str]:
    result = run("check", *paths, "--report", "junit")
    return [line.split('"')[1] for line in result.stdout.splitlines() if "<testsuite " in line]


def test_ignore_files_are_respected(here: Path) -> None:
    (here / ".git").mkdir()
    write(".gitignore", "build/\n*.tab\n!keep.tab\n/top.txt\n")
    write("sub/.gitignore", "local.txt\n")
    for name in (
        "top.txt",
        "a.txt",
        "x.tab",
        "keep.tab",
        "build/b.txt",
        "sub/local.txt",
        "sub/top.txt",
        "sub/deep/local.txt",
    ):
        write(name, CLEAN)
    expected = ["a.txt", "keep.tab", "sub/top.txt"]
    assert _checked(".") == expected
    os.chdir("sub")
    assert _checked(".") == ["top.txt"]
    assert _checked("local.txt") == ["local.txt"]


def test_the_configuration_excludes(here: Path) -> None:
    write("tabtools.toml", 'skip = ["drafts/", "*.old.txt"]\n')
    for name in ("a.txt", "a.old.txt", "drafts/b.txt", "c/drafts/d.txt"):
        write(name, CLEAN)
    assert _checked(".") == ["a.txt"]
    assert _checked("a.old.txt") == ["a.old.txt"]


def test_since_a_revision(here: Path) -> None:
    _git("init", "-q")
    for name in ("a.txt", "b.txt", "sub/c.txt", "gone.txt"):
        write(name, CLEAN)
    _git("add", ".")
    _git("commit", "-qm", "one")
    assert run("check", ".", "--since", "HEAD").stderr.startswith("tabtools: no files to check")
    write("b.txt", OFF_NECK)
    write("sub/new.txt", CLEAN)
    Path("gone.txt").unlink()
    result = run("check", ".", "--since", "HEAD", "--report", "junit")
    assert [line.split('"')[1] for line in result.stdout.splitlines() if "<testsuite " in line] == [
        "b.txt",
        "sub/new.txt",
    ]
    wrong = run("check", ".", "--since", "nonsense")
    assert (wrong.exit_code, wrong.stderr.count("\n")) == (2, 1)


def test_standard_input_has_a_name(here: Path) -> None:
    write("sub/tabtools.toml", 'without = ["fret-off-neck"]\n')
    assert run("check", "-", stdin=OFF_NECK).exit_code == 1
    result = run("check", "-", "--input-name", "sub/a.txt", stdin=OFF_NECK)
    assert (result.exit_code, result.stdout) == (0, "1 file: 0 errors, 0 warnings, 0 infos\n")
