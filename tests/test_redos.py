"""No pattern goes back and forth on a text that is made to make it do so.

A few of the texts that `python -m tests.benchmarks.patterns` tries, for every pattern; the limit is a
thousand times what a linear pattern takes.
"""

from __future__ import annotations

import random
import re

from tests.redos import Usage, attacks, patterns, seconds

TRIED = 40
SIZES = (28, 1500)
LIMIT = 0.5


def _slow(usage: Usage) -> list[tuple[str, str, int]]:
    tried = random.Random(usage.name).sample(attacks(usage.pattern), k=TRIED)
    return [
        (first, pump, size)
        for size in SIZES
        for method in usage.methods or ("fullmatch", "search")
        for first, pump, end in tried
        if seconds(usage.pattern, method, first + pump * (size // len(pump)) + end) > LIMIT
    ]


def test_every_pattern_ends_soon() -> None:
    slow = {usage.name: texts for usage in patterns() if (texts := _slow(usage))}
    assert slow == {}


def test_a_pattern_that_goes_back_and_forth_is_found() -> None:
    slow = Usage("exponential", re.compile(r"(?:a+)+b"), ("match",))
    assert any(
        seconds(slow.pattern, "match", first + pump * (28 // len(pump)) + end) > LIMIT
        for first, pump, end in attacks(slow.pattern)
        if set(pump) == {"a"}
    )
