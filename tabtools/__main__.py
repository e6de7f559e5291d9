"""The program: a quick start and a quick end around the command line."""

from __future__ import annotations

import contextlib
import gc
import os
import sys
from typing import NoReturn

# Next to nothing that a start makes is garbage: looking for it can wait, and a short run is a tenth shorter.
gc.set_threshold(100_000, 20, 20)


def run() -> NoReturn:
    """Run the command line, and end without taking the interpreter apart; all output is written by then."""
    _open_closed_streams()
    from tabtools.cli import main

    code: object = 0
    try:
        main(prog_name="tabtools")
    except SystemExit as end:
        code = end.code
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(OSError, ValueError):
            stream.flush()
    os._exit(code if isinstance(code, int) else int(code is not None))


def _open_closed_streams() -> None:
    """Give whoever closed standard input, output or error an empty one: files that are opened later must not
    get its number, and be written to by mistake."""
    while (number := os.open(os.devnull, os.O_RDWR)) <= 2:
        pass
    os.close(number)
    sys.stdin = sys.stdin or open(0, encoding="utf-8", closefd=False)  # noqa: SIM115
    sys.stdout = sys.stdout or open(1, "w", encoding="utf-8", closefd=False)  # noqa: SIM115
    sys.stderr = sys.stderr or open(2, "w", encoding="utf-8", closefd=False)  # noqa: SIM115


if __name__ == "__main__":
    run()
