"""The classical weights fitted to what editors printed: `python -m tests.benchmarks.fingering_fit`.

A third of the pieces is left out in turn, the parts of a piece together; the prices that make all that is
printed in the others likeliest are looked for, and the search is run with them on the pieces left out, with
the price of open strings as fitted and dearer. One may add all, to fit to every piece. It takes
minutes of processor time and 1.5 GB.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterable

import numpy as np
from scipy.optimize import minimize

from tabtools.fingering.moments import Layers, Sounded, moments
from tabtools.fingering.search import Solution
from tabtools.fingering.states import Want
from tabtools.fingering.weights import PROFILES, Weights
from tests.benchmarks.fingering import Counts, Piece, pieces
from tests.benchmarks.fingering_odds import NAMES, Chain, Chains, Prices, log_odds, weights

STRINGS = 3.0  # how many times more printed strings count: there are six fingers for each
PULL = 1.0  # towards the start, for each price squared
ROUNDS = 13
DEARER = (0.8, 1.0, 1.2, 1.5)
FOLDS = 3
START = {name: getattr(PROFILES["neutral"], name) for name in NAMES}


def fit(chains: Iterable[Chain]) -> Prices:
    """The prices, none below nothing, that make what is printed likeliest."""
    chosen = list(chains)
    start = np.array([START[name] for name in NAMES])

    def loss(values: np.ndarray) -> tuple[float, np.ndarray]:
        prices = dict(zip(NAMES, map(float, values), strict=True))
        found = [log_odds(chain, prices, STRINGS) for chain in chosen]
        slope = np.array([sum(gradient[name] for _, gradient in found) for name in NAMES])
        away = values - start
        return PULL * float(away @ away) - sum(total for total, _ in found), 2 * PULL * away - slope

    bounds = [(0.0, None)] * len(NAMES)
    found = minimize(
        loss,
        start,
        jac=True,
        method="L-BFGS-B",
        bounds=bounds,
        options={"maxiter": ROUNDS, "maxfun": 2 * ROUNDS},
    )
    return dict(zip(NAMES, map(float, found.x), strict=True))


def count(piece: Piece, by: Weights, counts: Counts, what: str) -> None:
    """Count what agrees with a piece, given its pitches."""
    notes = [Sounded(r.onset, r.end, Want(piece.neck.places(r.midi))) for r in piece.rows]
    found = moments(notes)
    layers = Layers(piece.neck, by)
    solution = Solution(layers.steps(notes, found), layers.moves)
    for step, moment in enumerate(found):
        shape = solution.steps[step].layer.shapes[solution.path[step]]
        for number, held in zip(moment.struck, shape, strict=False):
            row = piece.rows[number]
            if held and row.place:
                counts.add(f"{what}, {'fretted' if row.place[1] else 'open'}", held[:2] == row.place)
                counts.add(f"{what}, all", held[:2] == row.place)
            elif held and row.finger:
                counts.add(f"{what}, finger", held.finger == row.finger)


def main(names: list[str]) -> None:
    chains = Chains()
    made = [chains.chain(piece) for piece in pieces() if piece.source == "mutopia"]
    works = sorted({_work(chain) for chain in made})
    counts = Counts()
    folds = [set[str]()] if "all" in names else [set(works[n::FOLDS]) for n in range(FOLDS)]
    for left_out in folds:
        prices = fit(chain for chain in made if _work(chain) not in left_out)
        print(
            len(left_out), "left out:", {name: round(price, 2) for name, price in prices.items()}, flush=True
        )
        for chain in made:
            if _work(chain) in left_out or not left_out:
                for dearer in DEARER:
                    by = weights(prices | {"open_string": dearer * prices["open_string"]})
                    count(chain.piece, by._replace(edge=0.0), counts, f"open strings at {dearer}")
    counts.show()


def _work(chain: Chain) -> str:
    """The piece that a part belongs to."""
    return re.sub(r"_g\d$", "", chain.piece.name)


if __name__ == "__main__":
    main(sys.argv[1:])
