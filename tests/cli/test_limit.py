"""Files over the limit are refused, and read where the user allows them."""

from __future__ import annotations

from pathlib import Path

import pytest

from tabtools.musicxml.package import pack
from tabtools.musicxml.writer import write_musicxml
from tests.cli.support import run
from tests.musicxml.samples import LICK

_MEGABYTE = 1_000_000
_SCORE = write_musicxml(LICK)
_REMARK = "".join(f"{number:08x}" for number in range(3 * _MEGABYTE // 20)).encode()
_LARGE = _SCORE.replace(b"<part-list>", b"<!--" + _REMARK + b"-->\n<part-list>")
_TAB = b"e|-3-|\nB|-0-|\nG|-0-|\nD|-0-|\nA|-2-|\nE|-3-|\n" + b"Remarks " * 130_000


@pytest.mark.parametrize("name", ["a.musicxml", "a.mxl"])
@pytest.mark.parametrize(
    "command",
    [
        ("check", "--forget"),
        ("forms",),
        ("finger", "-o", "-"),
        ("convert", "-o", "-", "--to", "json"),
    ],
)
def test_a_large_score_is_refused_unless_it_is_allowed(
    tmp_path: Path, name: str, command: tuple[str, ...]
) -> None:
    path = tmp_path / name
    path.write_bytes(pack(_LARGE) if name.endswith("mxl") else _LARGE)
    refused = run(*command, "--max-megabytes", "1", path)
    assert refused.exit_code == 1
    assert "over the limit of 1 MB" in refused.stdout + refused.stderr
    assert "allow it with --max-megabytes 2" in refused.stdout + refused.stderr
    allowed = run(*command, "--max-megabytes", "2", path)
    assert "over the limit" not in allowed.stdout + allowed.stderr


def test_large_text_is_refused_unless_it_is_allowed(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    path.write_bytes(_TAB)
    for arguments in (("format", "--tell"), ("check", "--forget", "--fail-from", "error")):
        assert "over the limit of 1 MB" in run(*arguments, "--max-megabytes", "1", path).stdout
        assert "over the limit" not in run(*arguments, "--max-megabytes", "2", path).stdout


def test_what_is_repaired_in_a_large_file_may_be_large(tmp_path: Path) -> None:
    """The result is read again, and the limit must not bite there."""
    path = tmp_path / "a.musicxml"
    path.write_bytes(
        _LARGE.replace(b"</part-list>", b"</part-list>\n<!-- -->").replace(b"<voice>", b"<beam/><voice>", 1)
    )
    made = tmp_path / "b.musicxml"
    assert run("convert", "--max-megabytes", "2", path, "-o", made).exit_code == 0
    assert b"<beam/>" not in made.read_bytes()
    run("check", "--forget", "--repair", "--max-megabytes", "2", path)
    assert b"<beam/>" not in path.read_bytes()
