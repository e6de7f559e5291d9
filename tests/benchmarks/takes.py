"""``python -m tests.benchmarks.takes [SEED [COUNT]]``: pairs of takes with one known change each.

Prints in how many of them the comparison says that change and nothing else, and every other one.
"""

from __future__ import annotations

import sys

from tabtools.phrases.comparing import compare
from tests.phrases.takes import pair


def main(seed: int = 1000, count: int = 100) -> None:
    """Compare ``count`` pairs."""
    right = 0
    for number in range(seed, seed + count):
        first, second, kind, bar = pair(number)
        found = compare(first, second).differences
        said = [(one.kind, one.first_bar or one.second_bar or 0) for one in found]
        right += said == [(kind, bar)]
        if said != [(kind, bar)]:
            print(f"seed {number}: {kind} in bar {bar}, said {[(*one[:2], one.words) for one in found]}")
    print(f"{right} of {count} say the one change and nothing else")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
