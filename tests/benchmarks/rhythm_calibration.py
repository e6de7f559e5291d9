"""How far a confidence can be trusted: `python -m tests.benchmarks.rhythm_calibration [--half dev|test|all]`.

Over all writers of the rhythm benchmark whose notes slip: how many of the bars with a confidence are right,
and what other thresholds than the package's would flag.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from tabtools.source import Source
from tabtools.text.reader import read_text
from tabtools.text.rhythm import UNCLEAR
from tests.benchmarks.rhythm import others, tunes_of
from tests.benchmarks.rhythm_habits import HABITS, OTHERS, VARIATIONS
from tests.benchmarks.rhythm_material import material
from tests.benchmarks.tab_pages import page
from tests.benchmarks.tunes import TICKS

WANTED = 500
BINS = (0.0, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 1.0)
THRESHOLDS = (0.7, 0.8, 0.85, UNCLEAR, 0.95, 0.98)


def bars(half: str) -> Iterator[tuple[float, bool]]:
    """(confidence, right) of every bar."""
    for habit in (*HABITS, *VARIATIONS, *OTHERS):
        if (not habit.slips and not habit.far) or habit.over:
            continue
        done = 0
        for seed, tune in enumerate(material(habit, others(half) if habit in OTHERS else tunes_of(half))):
            if done > WANTED:
                break
            made = page(tune, habit, seed)
            part = read_text(Source("page.txt", made.text)).score.parts[0]
            for bar, truth in zip(part.bars, made.onsets, strict=True):
                sure = min((fact.confidence for event in bar.events for fact in event.inferred), default=1.0)
                right = [event.onset * TICKS for event in bar.events if event.notes] == list(truth)
                if truth:
                    done += 1
                    yield sure, right


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--half", choices=("dev", "test", "all"), default="dev")
    found = list(bars(parser.parse_args().half))
    print(f"{len(found)} bars\nconfidence      bars  right %")
    for low, high in zip(BINS, (*BINS[1:], 2.0), strict=True):
        within = [right for sure, right in found if low <= sure < high]
        if within:
            print(f"{low:.2f} and more{len(within):8}{100 * sum(within) / len(within):9.1f}")
    print("threshold  right bars flagged %  right of the others %")
    rights = sum(right for _, right in found)
    for threshold in THRESHOLDS:
        above = [right for sure, right in found if sure >= threshold]
        print(f"{threshold:9.2f}{100 * (1 - sum(above) / rights):22.1f}{100 * sum(above) / len(above):23.2f}")


if __name__ == "__main__":
    main()
