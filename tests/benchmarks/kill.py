"""Killed while it writes: `python -m tests.benchmarks.kill [TIMES]`.

``check --repair`` and ``format`` run over many files that all need a change, and are killed (SIGKILL) at a
moment that a seeded generator chooses. Every file must then hold its old bytes or its new ones. Exit code 1
if one does not.
"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.benchmarks.repository import lessons

TIMES = 200
FILES = 150
BURST = 0.03  # seconds that writing them may take
REMARK = "tabtools: ignore fret-off-neck in file because the neck is long\n"
COMMANDS = {
    "check --repair": ["check", "--repair", "--forget", "--jobs", "1", "."],
    "format": ["format", "."],
}


def before(command: str) -> dict[str, bytes]:
    """The files that a command has to change: with a remark too many, or spaced too widely."""
    files = {}
    for name, text in lessons(FILES):
        page = text + REMARK if command != "format" else text.replace("-|", "---|")
        files[name] = page.encode()
    return files


def write(directory: Path, files: dict[str, bytes]) -> None:
    """Put the files where the command finds them."""
    for name, data in files.items():
        path = directory / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)


def start(directory: Path, command: str) -> subprocess.Popen[bytes]:
    """The command as a process group of its own."""
    return subprocess.Popen(
        [sys.executable, "-m", "tabtools", *COMMANDS[command]],
        cwd=directory,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )


def wait_for_writes(process: subprocess.Popen[bytes], first: Path) -> None:
    """Wait until the first file that changes has changed, or the command has ended."""
    before = first.stat().st_mtime_ns
    while process.poll() is None and first.stat().st_mtime_ns == before:
        time.sleep(0.0005)


def broken(directory: Path, old: dict[str, bytes], new: dict[str, bytes]) -> tuple[int, int]:
    """How many files hold neither their old bytes nor their new ones, and how many hold the new ones."""
    found = {name: (directory / name).read_bytes() for name in old}
    return sum(found[n] not in (old[n], new[n]) for n in old), sum(found[n] == new[n] for n in old)


def trial(command: str, times: int) -> int:
    """The number of broken files over all kills of a command."""
    generator = random.Random(1)
    bad, caught = 0, 0
    with tempfile.TemporaryDirectory() as name:
        directory = Path(name)
        old = before(command)
        write(directory, old)
        began = time.perf_counter()
        if start(directory, command).wait() not in (0, 1):
            raise RuntimeError(f"{command} failed")
        whole = time.perf_counter() - began
        new = {file: (directory / file).read_bytes() for file in old}
        changed = [file for file in old if old[file] != new[file]]
        for _ in range(times):
            write(directory, old)
            process = start(directory, command)
            if generator.random() < 0.5:
                time.sleep(whole * generator.uniform(0.5, 1.05))
            else:
                wait_for_writes(process, directory / min(changed))
                time.sleep(generator.uniform(0, BURST))
            if process.poll() is None:
                os.killpg(process.pid, signal.SIGKILL)
            process.wait()
            wrong, done = broken(directory, old, new)
            bad += wrong
            caught += len(old) - len(changed) < done < len(old)
    print(
        f"{command}: {len(changed)} of {len(old)} files change; {times} kills, {caught} of them between the "
        f"first write and the last; {bad} broken files"
    )
    return bad


def main() -> None:
    times = int(sys.argv[1]) if len(sys.argv) > 1 else TIMES
    sys.exit(1 if sum(trial(command, times // len(COMMANDS)) for command in COMMANDS) else 0)


if __name__ == "__main__":
    main()
