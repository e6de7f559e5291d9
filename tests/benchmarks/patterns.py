"""Every pattern of the package on texts to make it slow: `python -m tests.benchmarks.patterns [NAME]`.

Texts of up to LENGTH characters are made from each pattern (`tests.redos`); one that takes longer than LIMIT
is named with its text. What is linear takes a hundredth of that. Exit code 1 if any pattern is slow.
"""

from __future__ import annotations

import sys

from tests.redos import patterns, slowest

LENGTH = 4096
LIMIT = 0.03  # seconds of processor time; a quadratic pattern takes twice that or more


def main(part: str = "") -> int:
    """Search in the patterns whose name has ``part`` in it; the exit code."""
    usages = [usage for usage in patterns() if part in usage.name]
    slow = 0
    for usage in usages:
        worst = slowest(usage, LENGTH, LIMIT)
        if worst is not None:
            slow += 1
            taken, method, (first, pump, end), size = worst
            text = f"{first!r} + {pump!r} * {size // len(pump)} + {end!r}"
            print(f"{usage.name}.{method}: {taken:.3f} s on {text}")
    print(f"{len(usages)} patterns, {slow} slow")
    return 1 if slow else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:2]))
