"""Running the command line in the tests."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner, Result

from tabtools.cli import main

CLEAN = """\
Tuning: standard
Key: A minor

   q   q   q   q
e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|-----------------|
E|-----------------|
"""
OFF_NECK = CLEAN.replace("-7---------------|", "-27--------------|")
RAGGED = CLEAN.replace("-----5---7-------|", "-----5---7------|")


def run(*arguments: str | Path, stdin: bytes | str | None = None) -> Result:
    """The command line in this process, with its two outputs apart."""
    return CliRunner().invoke(main, [str(argument) for argument in arguments], input=stdin)


def write(path: str, text: str) -> None:
    """A file with this content, and its directories."""
    Path(path).parent.mkdir(parents=True, exist_ok=True)
    Path(path).write_bytes(text.encode())
