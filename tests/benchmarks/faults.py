"""What bad files cost: `python -m tests.benchmarks.faults`.

Each is checked by the command line in a process of its own. The promise: a message, exit code 1, within two
seconds and 200 MB. Seconds are those on the clock; memory is the peak of the process (Linux).
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.musicxml.faulty import FAULTS

_CODE = """
import sys
from tabtools.cli import main
try:
    main(["check", sys.argv[1]])
except SystemExit as end:
    status = open("/proc/self/status").read()
    print(end.code, status.partition("VmHWM:")[2].split()[0], file=sys.stderr)
"""
SECONDS, MEGABYTES = 2.0, 200.0


def main() -> None:
    kept = True
    with tempfile.TemporaryDirectory() as folder:
        for name, make, reason in FAULTS:
            file = Path(folder, "fault.musicxml")
            file.write_bytes(make())
            start = time.perf_counter()
            done = subprocess.run([sys.executable, "-c", _CODE, str(file)], capture_output=True, text=True)
            seconds = time.perf_counter() - start
            code, memory = done.stderr.split()[-2:]
            megabytes = int(memory) / 1024
            good = (
                code == "1"
                and reason.casefold() in done.stdout.casefold()
                and seconds < SECONDS
                and megabytes < MEGABYTES
            )
            kept = kept and good
            line = f"{name:38}{seconds:6.2f} s{megabytes:6.0f} MB  exit {code}"
            print(line if good else f"{line}  NOT AS PROMISED: {done.stdout[:200]}")
    print("every promise kept" if kept else "a promise is broken")


if __name__ == "__main__":
    main()
