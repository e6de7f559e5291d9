"""What all commands share: help, version, and how things end when they go wrong."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tabtools import __version__, reading
from tabtools.cli import COMMANDS
from tests.cli.support import CLEAN, OFF_NECK, run


def _process(*arguments: str | Path, **options: object) -> subprocess.CompletedProcess[bytes]:
    command = [sys.executable, "-m", "tabtools", *map(str, arguments)]
    return subprocess.run(command, capture_output=True, timeout=60, **options)  # type: ignore[call-overload, no-any-return]


def test_version() -> None:
    result = run("--version")
    assert (result.exit_code, result.stdout) == (0, f"tabtools {__version__}\n")


def test_help_lists_the_commands_and_each_has_its_own() -> None:
    result = run("--help")
    assert result.exit_code == 0
    for command in COMMANDS:
        assert f"  {command} " in result.stdout
        assert run(command, "--help").exit_code == 0
        assert run(command, "-h").stdout.startswith(f"Usage: main {command} ")


def test_no_command_shows_the_help_and_is_wrong() -> None:
    result = run()
    assert result.exit_code == 2
    assert result.stdout == ""
    assert "Commands:" in result.stderr


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["nonsense"], "No such command 'nonsense'"),
        (["check"], "Missing argument 'PATH...'"),
        (["check", "--nonsense", "x"], "--nonsense"),
        (["check", "--fail-from", "never", "x"], "--fail-from"),
        (["check", "not/there.txt"], "not/there.txt: No such file or directory"),
        (["explain", "bar-over-full"], "Did you mean bar-overfull?"),
        (["convert", "not-there.txt"], "--out-dir"),
        (["format", "not-there.txt"], "not-there.txt: No such file or directory"),
    ],
)
def test_wrong_use_is_one_line_on_standard_error(arguments: list[str], words: str) -> None:
    result = run(*arguments)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert words in result.stderr
    assert result.stderr.count("\n") == 1


def test_our_own_fault_is_one_line_and_no_traceback(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*arguments: object) -> None:
        raise ZeroDivisionError("by\nzero")

    monkeypatch.setattr("tabtools.cli.check.all_rules", broken)
    path = tmp_path / "a.txt"
    path.write_text(CLEAN)
    result = run("check", path)
    assert result.exit_code == 3
    assert "ZeroDivisionError: by zero" in result.stderr
    assert "please report" in result.stderr
    assert result.stderr.count("\n") == 1


def test_a_crash_in_a_reader_is_a_finding_and_other_files_go_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    original = reading.read

    def broken(name: str, data: bytes, *more: Any) -> object:
        if name.endswith("a.txt"):
            raise RecursionError("too deep")
        return original(name, data, *more)

    monkeypatch.setattr("tabtools.cli.load.read", broken)
    (tmp_path / "a.txt").write_text(CLEAN)
    (tmp_path / "b.txt").write_text(OFF_NECK)
    result = run("check", "--forget", tmp_path)
    assert result.exit_code == 3
    assert "a.txt:1:1: error internal: reading the file failed with RecursionError: too deep" in result.stdout
    assert "fret-off-neck" in result.stdout


def test_interrupt_is_no_traceback(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*arguments: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("tabtools.cli.check.all_rules", interrupted)
    result = run("check", tmp_path)
    assert result.exit_code == 130
    assert result.stderr.endswith("tabtools: stopped\n")


def test_a_closed_pipe_is_silent_and_keeps_the_exit_code(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    path.write_text(OFF_NECK.replace("27", "27-28-29-30") * 300)
    for arguments in (["check", path], ["check", "--report", "json", path]):
        command = [sys.executable, "-m", "tabtools", *map(str, arguments)]
        process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        errors = process.stderr.read()
        assert process.wait(timeout=60) == 1
        assert errors == b""


def test_an_output_that_knows_ascii_only(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    path.write_text(OFF_NECK.replace("e|-", "e|–"), "utf-8")
    result = _process("check", path, env={"PYTHONIOENCODING": "ascii"})
    assert result.returncode == 1
    assert b"27" in result.stdout
    assert result.stderr == b""


def test_the_same_input_gives_the_same_bytes_whatever_the_hash_seed_and_locale(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text(OFF_NECK)
    outputs = {
        _process("check", "a.txt", "--report", form, cwd=tmp_path, env=env).stdout
        for form in ("json",)
        for env in ({"PYTHONHASHSEED": "1", "LC_ALL": "C"}, {"PYTHONHASHSEED": "2", "LC_ALL": "C.UTF-8"})
    }
    assert len(outputs) == 1
