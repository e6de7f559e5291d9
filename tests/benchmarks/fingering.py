"""How well and how fast parts are fingered: `python -m tests.benchmarks.fingering`.

One may add accuracy, chords, speed or cross. Accuracy is agreement with people on tests/cases/fingering
(sources and licences in its README), with one profile for each source; plain methods beside it are in
`fingering_sources`.
`cross` leaves each piece out in turn, chooses the profile's main weights by the others, and reports the
pieces left out.
"""

from __future__ import annotations

import csv
import math
import random
import resource
import sys
import time
from collections.abc import Iterable, Iterator
from itertools import product
from pathlib import Path
from typing import NamedTuple

from tabtools.fingering.hand import grips
from tabtools.fingering.moments import Layers, Moment, Sounded, moments
from tabtools.fingering.neck import Neck
from tabtools.fingering.search import Solution
from tabtools.fingering.states import Want
from tabtools.fingering.weights import PROFILES, SURE, UNIT, Weights
from tabtools.instrument import GUITAR
from tabtools.score import Instrument, Pitch

CASES = Path(__file__).parents[1] / "cases" / "fingering"
# By source: chords that were played with a plectrum, lines, and what editors of classical music printed.
PROFILE = {
    "guitarset": "neutral",
    "lead": "lead",
    "egset12": "lead",
    "mutopia": "classical",
    "mutleft": "classical",
    "cc0": "classical",
}
NAMES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
LAST_FRET = 19
NEAR = 0.2  # of the cost of grips, which is next to nothing


class Row(NamedTuple):
    onset: int
    end: int
    midi: int
    place: tuple[int, int] | None
    finger: int | None


class Piece(NamedTuple):
    name: str
    neck: Neck
    rows: list[Row]

    @property
    def source(self) -> str:
        return "lead" if self.name.endswith("_solo") else self.name.split("_")[0]


class Counts(dict[str, list[int]]):
    def add(self, name: str, hit: bool) -> None:
        pair = self.setdefault(name, [0, 0])
        pair[0] += hit
        pair[1] += 1

    def show(self) -> None:
        for name in sorted(self):
            hits, of = self[name]
            print(f"  {name:<36} {of:6} labels {100 * hits / of:6.1f} %")


def load(path: Path) -> Piece:
    lines = path.read_text("utf-8").splitlines()
    tuning = next(line for line in lines if line.startswith("# tuning="))
    strings = tuple(_pitch(int(midi)) for midi in tuning.partition("=")[2].split(","))
    rows = [_row(cells) for cells in csv.DictReader(line for line in lines if not line.startswith("#"))]
    instrument = Instrument("Guitar", strings)
    return Piece(
        path.stem, Neck(instrument, "medium", LAST_FRET), sorted(rows, key=lambda r: (r.onset, r.midi))
    )


def _pitch(midi: int) -> Pitch:
    return Pitch.from_name(f"{NAMES[midi % 12]}{midi // 12 - 1}")


def _row(cells: dict[str, str]) -> Row:
    onset = round(float(cells["onset_s"]) * 1_000_000)
    place = (int(cells["string"]), int(cells["fret"])) if cells["string"] else None
    end = onset + round(float(cells["duration_s"]) * 1_000_000)
    return Row(onset, end, int(cells["midi"]), place, int(cells["finger"]) if cells["finger"] else None)


def pieces() -> list[Piece]:
    return [load(path) for path in sorted(CASES.glob("*_*.csv"))]


class Reading(NamedTuple):
    """One note of a solved piece: its label, the choice, the finger, and the margin and odds of the place."""

    row: Row
    place: tuple[int, int]
    finger: int
    margin: float
    confidence: float


def read(piece: Piece, weights: Weights, *, given: bool, marks: bool = False) -> Iterator[Reading]:
    """Finger a piece from its pitches, or with ``given`` from strings and frets too where they are known.

    With ``marks`` the printed fingers of notes whose string and fret are not known are kept as well; those
    of the notes that are counted are never told.
    """
    notes = []
    for r in piece.rows:
        places = (r.place,) if given and r.place else piece.neck.places(r.midi)
        finger = r.finger or None if marks and r.place is None else None
        notes.append(Sounded(r.onset, r.end, Want(places, finger)))
    found = moments(notes)
    layers = Layers(piece.neck, weights)
    solution = Solution(layers.steps(notes, found), layers.moves)
    for step, moment in enumerate(found):
        yield from _readings(piece, solution, step, moment)


def _readings(piece: Piece, solution: Solution, step: int, moment: Moment) -> Iterator[Reading]:
    shapes = solution.steps[step].layer.shapes
    through = solution.through(step)
    for at, number in enumerate(moment.struck):
        best: dict[tuple[int, int], int] = {}
        for shape, cost in zip(shapes, through, strict=True):
            held = shape[at]
            if held and cost < best.get(held[:2], cost + 1):
                best[held[:2]] = cost
        costs = sorted(best.values())
        held = shapes[solution.path[step]][at]
        assert held is not None
        margin = (costs[1] - costs[0]) / UNIT if len(costs) > 1 else float("inf")
        scale = UNIT * solution.moves.weights.temperature
        odds = 1 / sum(math.exp((costs[0] - cost) / scale) for cost in costs)
        yield Reading(piece.rows[number], held[:2], held.finger, margin, odds)


def accuracy() -> None:
    counts = Counts()
    for piece in pieces():
        source, weights = piece.source, PROFILES[PROFILE[piece.source]]
        for r in read(piece, weights, given=False) if any(row.place for row in piece.rows) else ():
            if r.row.place is None:
                continue
            hit = r.place == r.row.place
            counts.add(f"{source} place", hit)
            counts.add(f"{source} place, {'fretted' if r.row.place[1] else 'open'}", hit)
            for name in (source, "all"):
                counts.add(f"doubt: {name} {'doubtful' if r.confidence < SURE else 'sure'}", hit)
        for r in read(piece, weights, given=True) if PROFILE[source] == "classical" else ():
            if r.row.finger is not None:
                known = "string and fret given" if r.row.place else "place chosen"
                counts.add(f"{source} finger, {known}", r.finger == r.row.finger)
                if r.row.place and r.row.place[1]:
                    counts.add(f"{source} finger, {known}, fretted", r.finger == r.row.finger)
        _with_marks(piece, weights, counts)
    print("agreement with people;", PROFILE)
    counts.show()


def _with_marks(piece: Piece, weights: Weights, counts: Counts) -> None:
    """Fingers where string and fret are given and the fingers that are printed on other notes are kept."""
    if not any(r.place and r.place[1] and r.finger is not None for r in piece.rows):
        return
    for r in read(piece, weights, given=True, marks=True):
        if r.row.place and r.row.place[1] and r.row.finger is not None:
            name = f"{piece.source} finger, other marks kept, fretted"
            counts.add(name, r.finger == r.row.finger)


def cross() -> None:
    """Leave one piece out: choose by the others, count on the piece.

    Fretted and open labels count alike in the choice, however many there are of each.
    """
    grids = {  # prices of an open string, of the grip, of strings away from the middle
        "neutral": ((0.1, 0.25, 0.4), (0.25,), (0.0, 0.02, 0.05)),
        "classical": ((0.05, 0.12, 0.2), (0.3, 0.5), (0.0,)),
    }
    for profile, grid in grids.items():
        chosen = [p for p in pieces() if PROFILE[p.source] == profile and any(r.place for r in p.rows)]
        weights = [
            PROFILES[profile]._replace(open_string=open_string, grip=grip, edge=edge)
            for open_string, grip, edge in product(*grid)
        ]
        table = [[_hits(piece, w) for w in weights] for piece in chosen]
        hits = Counts()
        for left_out, own in enumerate(table):
            others = [row for number, row in enumerate(table) if number != left_out]
            shares = [_balance([hit for row in others for hit in row[w]]) for w in range(len(weights))]
            for fretted, hit in own[shares.index(max(shares))]:
                hits.add("all", hit)
                hits.add("fretted" if fretted else "open", hit)
        print(f"{profile}, left out in turn")
        hits.show()


def _balance(hits: list[tuple[bool, bool]]) -> float:
    """The mean of the shares of fretted and of open labels that are hit."""
    kinds = ([hit for fretted, hit in hits if fretted is kind] for kind in (True, False))
    return sum(sum(kind) / max(1, len(kind)) for kind in kinds) / 2


def _hits(piece: Piece, weights: Weights) -> list[tuple[bool, bool]]:
    """For each label, whether it is fretted and whether it is hit."""
    notes = [Sounded(r.onset, r.end, Want(piece.neck.places(r.midi))) for r in piece.rows]
    found = moments(notes)
    layers = Layers(piece.neck, weights)
    solution = Solution(layers.steps(notes, found), layers.moves)
    hits = []
    for step, moment in enumerate(found):
        shape = solution.steps[step].layer.shapes[solution.path[step]]
        for number, held in zip(moment.struck, shape, strict=False):
            place = piece.rows[number].place
            if place and held:
                hits.append((place[1] > 0, held[:2] == place))
    return hits


class Diagram(NamedTuple):
    """A chord diagram: whether the grip found first is the printed one, and how much dearer that is than the
    easiest, in units of a grip; infinite where it is none that the model knows."""

    first: bool
    dearer: float


def diagrams() -> list[Diagram]:
    """The published chord diagrams."""
    found = []
    with (CASES / "chordforms.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            frets, fingers = row["frets_low_to_high"].split(), row["fingers_low_to_high"].split()
            held = [(6 - n, int(fret)) for n, fret in enumerate(frets) if fret != "x"]
            pairs = enumerate(zip(frets, fingers, strict=True))
            printed = {(6 - n, int(fret)): int(finger) for n, (fret, finger) in pairs if fret not in "x0"}
            ways = grips(GUITAR, held)
            readings = [{(s, p.fret): p.finger for p in way.presses for s in p.strings} for way in ways]
            costs = [way.cost for way, reading in zip(ways, readings, strict=True) if reading == printed]
            dearer = min(costs, default=math.inf) - (ways[0].cost if ways else 0)
            found.append(Diagram(bool(readings) and readings[0] == printed, dearer))
    return found


def chords() -> None:
    found = diagrams()
    counts = (
        sum(one.first for one in found),
        sum(one.dearer <= 1e-9 for one in found),
        sum(one.dearer <= NEAR + 1e-9 for one in found),
    )
    shares = [f"{100 * count / len(found):.1f} %" for count in counts]
    print(f"chord diagrams: {len(found)}, the printed fingers {shares[0]}, or others as easy {shares[1]}")
    print(f"  the printed fingers are at most {NEAR} dearer than the easiest: {shares[2]}")


def speed() -> None:
    _timed("single line, steps", _line(10_000, (-2, -1, 1, 2)), "notes")
    _timed("single line, leaps", _line(10_000, (-7, -5, -3, -2, 2, 3, 5, 7)), "notes")
    phrase = _line(40, (-2, -1, 1, 2))
    _timed("single line, a phrase of 40 again and again", [phrase[n % 40] for n in range(10_000)], "notes")
    roots = random.Random(2).choices(range(45, 57), k=1000)
    _timed("chords of four", [(r, r + 7, r + 12, r + 16) for r in roots], "chords")
    chance = random.Random(3)
    random_chords = [tuple(sorted(chance.sample(range(45, 72), 4))) for _ in range(400)]
    _timed("chords of four, each another", random_chords, "chords")
    print(f"peak memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


def _line(count: int, steps: tuple[int, ...]) -> list[tuple[int, ...]]:
    chance = random.Random(1)
    midi = 60
    found: list[tuple[int, ...]] = []
    for _ in range(count):
        midi = min(max(midi + chance.choice(steps), 45), 79)
        found.append((midi,))
    return found


def _timed(name: str, groups: Iterable[tuple[int, ...]], unit: str) -> None:
    neck = Neck(GUITAR, "medium", LAST_FRET)
    notes, count = [], 0
    for count, group in enumerate(groups, 1):
        onset = count * 250_000
        notes += [Sounded(onset, onset + 250_000, Want(neck.places(midi))) for midi in group]
    start = time.process_time()
    layers = Layers(neck, PROFILES["neutral"])
    solution = Solution(layers.steps(notes, moments(notes)), layers.moves)
    assert len(solution.path) == count
    paths = time.process_time() - start
    solution.through(0)
    margins = time.process_time() - start
    print(
        f"{name}: {count / paths:.0f} {unit} a second of processor time, {count / margins:.0f} with margins"
    )


MODES = {"accuracy": accuracy, "cross": cross, "chords": chords, "speed": speed}

if __name__ == "__main__":
    for mode in sys.argv[1:] or ["accuracy", "chords", "speed"]:
        MODES[mode]()
