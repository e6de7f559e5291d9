"""``python -m tests.benchmarks.moves [SEED [COUNT]]``: random phrases moved to all keys and forms.

Prints how many moves were made, refused with a reason, and wrong; every wrong one with its reason.
"""

from __future__ import annotations

import sys
from collections import Counter
from random import Random

from tabtools.phrases.names import interval_by
from tabtools.phrases.wish import Wish
from tests.phrases.judging import faults, moved_text, read
from tests.phrases.pages import phrase


def main(seed: int = 1, count: int = 200) -> None:
    """Move ``count`` phrases each by -5 to 6 semitones and to the five forms."""
    outcomes: Counter[str] = Counter()
    for number in range(count):
        text = phrase(Random(1000 * seed + number))
        document = read(text)
        key = document.score.parts[0].bars[0].key
        wishes = [Wish(interval_by(by, key)) for by in range(-5, 7)] + [Wish(form=form) for form in "EADCG"]
        for wish in wishes:
            kind = "form" if wish.form else "key"
            wrong = list(faults(text, wish))
            if wrong:
                print(f"seed {1000 * seed + number} {wish.form or wish.interval.semitones}: {wrong[0]}")
            refused = isinstance(moved_text(document, wish), tuple)
            outcomes[f"{kind} {'wrong' if wrong else 'refused' if refused else 'made'}"] += 1
    print(dict(sorted(outcomes.items())))


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
