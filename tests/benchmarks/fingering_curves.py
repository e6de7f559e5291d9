"""What was tried where agreement with people falls short: `python -m tests.benchmarks.fingering_curves`.

One may add open, diagrams or doubt. `open` prints how the price of an open string trades fretted labels of
the classical scores against open ones, and whether any price meets the aim; strings are printed mostly where
the obvious choice is wrong. `diagrams` prints how many chord diagrams have fingers that cost at most so much
more than the easiest. `doubt` prints agreement below and above each margin, and how likely the labels are at
each temperature.
"""

from __future__ import annotations

import math
import sys

from tabtools.fingering.weights import PROFILES
from tests.benchmarks.fingering import PROFILE, Piece, diagrams, pieces, read

PRICES = (0.05, 0.2, 0.3, 0.37, 0.45, 0.55, 0.65, 1.0, 2.0)
AIM = (0.78, 0.74)  # shares of fretted labels and of all
DEARER = (0.0, 0.05, 0.1, 0.15, 0.2, 0.3, 0.5, 1.0, 1.5, 99.0)  # of a grip
MARGINS = (0.1, 0.2, 0.3, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0)
TEMPERATURES = (0.3, 0.5, 0.7, 0.85, 1.0, 1.5)

Margin = tuple[float, bool]


def _labelled() -> list[Piece]:
    return [piece for piece in pieces() if any(row.place for row in piece.rows)]


def open_strings() -> None:
    chosen = [piece for piece in _labelled() if piece.source == "mutopia"]
    print("mutopia, price of an open string; other marks: printed fingers of notes without a label are kept")
    for marks in (False, True):
        met = []
        for price in PRICES:
            fretted, opened = _by_kind(chosen, price, marks=marks)
            both = fretted + opened
            print(
                f"  {price:4.2f} {'other marks kept' if marks else 'pitches only':<16} fretted "
                f"{_percent(fretted)}, open {_percent(opened)}, all {_percent(both)}"
            )
            shares = (sum(hits) / len(hits) for hits in (fretted, both))
            if all(share >= aim for share, aim in zip(shares, AIM, strict=True)):
                met.append(price)
        aim = f"{AIM[0]:.0%} of the fretted labels and {AIM[1]:.0%} of all"
        print(f"  {aim}: " + (f"at {', '.join(map(str, met))}" if met else "met at no price"))


def _by_kind(chosen: list[Piece], price: float, *, marks: bool) -> tuple[list[bool], list[bool]]:
    """Hits of fretted labels and of open ones."""
    weights = PROFILES["classical"]._replace(open_string=price)
    hits: dict[bool, list[bool]] = {True: [], False: []}
    for piece in chosen:
        for r in read(piece, weights, given=False, marks=marks):
            if r.row.place:
                hits[r.row.place[1] > 0].append(r.place == r.row.place)
    return hits[True], hits[False]


def chord_diagrams() -> None:
    found = diagrams()
    print(f"{len(found)} chord diagrams: printed fingers that are at most so much dearer than the easiest")
    for most in DEARER:
        share = [one.dearer <= most + 1e-9 for one in found]
        print(f"  {most:4.2f} {_percent(share)}")


def doubt() -> None:
    found: dict[str, list[Margin]] = {}
    for piece in _labelled():
        for r in read(piece, PROFILES[PROFILE[piece.source]], given=False):
            if r.row.place:
                found.setdefault(piece.source, []).append((r.margin, r.place == r.row.place))
    found["all"] = [pair for pairs in found.values() for pair in pairs]
    for source, pairs in found.items():
        print(f"{source}, {len(pairs)} labels")
        for margin in MARGINS:
            below = [hit for cost, hit in pairs if cost < margin]
            above = [hit for cost, hit in pairs if cost >= margin]
            print(
                f"  margin {margin:4.2f}: below {_percent(below)} of {len(below):4}, "
                f"above {_percent(above)} of {len(above):4}"
            )
        print("  log likelihood a label:", *(f"{t}: {_likelihood(pairs, t):.3f}" for t in TEMPERATURES))


def _likelihood(pairs: list[Margin], temperature: float) -> float:
    """The mean log of the odds given to what people chose, as between the choice and its runner-up."""
    free = [(margin, hit) for margin, hit in pairs if margin < math.inf]
    return -sum(math.log1p(math.exp((-m if hit else m) / temperature)) for m, hit in free) / len(free)


def _percent(hits: list[bool]) -> str:
    return f"{100 * sum(hits) / len(hits):5.1f} %" if hits else "    - %"


MODES = {"open": open_strings, "diagrams": chord_diagrams, "doubt": doubt}

if __name__ == "__main__":
    for mode in sys.argv[1:] or list(MODES):
        MODES[mode]()
