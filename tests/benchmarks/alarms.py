"""False alarms on tunes with foreign notes: `python -m tests.benchmarks.alarms [TUNES]`.

Traditional tunes of four collections (the corpus of music21) in the keys they are written in, with the notes
foreign to these, as text tab on pages of several kinds and as MusicXML: nothing in them is a fault, so every
error and warning is a false alarm. Beside it stands what the same rule still finds: notes a fret too high or
too low, one at a time, on the beat and outside the key.
"""

from __future__ import annotations

import random
import sys
from collections import Counter

from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule
from tabtools.lint.rules import load_all
from tests.benchmarks.injection import ALARMS, alarms, findings, pages
from tests.benchmarks.injection_faults import Clean, outside
from tests.benchmarks.injection_tunes import foreign_tunes

TUNES = 40  # of each collection
COLLECTIONS = ("ryansMammoth", "airdsAirs", "oneills1850", "essenFolksong")
SLIPS = 4  # in each page, one at a time


def slips(cleans: list[Clean], rules: list[Rule]) -> tuple[int, int, int]:
    """How many slips were made, how many of them are told at all, and how many with a warning."""
    tried = told = warned = 0
    for index, clean in enumerate(cleans):
        for time in range(SLIPS):
            place = outside(clean, random.Random(f"{index} {time}"), -1 if time % 2 else 1)
            if place is None:
                continue
            text, lines = place
            found, at = findings(text, rules)
            levels = [f.severity for f, n in zip(found, at, strict=True) if n in lines]
            tried += 1
            told += bool(levels)
            warned += any(level >= Severity.WARNING for level in levels)
    return tried, told, warned


def main() -> None:
    number = int(sys.argv[1]) if len(sys.argv) > 1 else TUNES
    rules = load_all()
    one = [rule for rule in rules if rule.name == "outside-harmony"]
    files = false = 0
    for collection in COLLECTIONS:
        made = list(pages(foreign_tunes(number, collection)))
        said = Counter(alarms((clean for _, clean in made), rules))
        tried, told, warned = slips([clean for kind, clean in made if kind == "text"], one)
        files, false = files + len(made), false + said.total()
        print(
            f"{collection:15}{said.total():3} false alarms in {len(made)} files {dict(said)}; "
            f"slips: {told} of {tried} told, {warned} with a warning"
        )
    rate = false / files
    print(f"false alarms: {rate:.3f} a clean file (target {ALARMS})")
    sys.exit(0 if rate <= ALARMS else 1)


if __name__ == "__main__":
    main()
