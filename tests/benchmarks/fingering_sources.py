"""Strings and frets source by source: `python -m tests.benchmarks.fingering_sources`.

Beside the model stand the two plain methods, in the same run. ``left out`` is the model with its price of
open strings chosen by the other sources of the same profile; for a source that is the only one of its
profile it is chosen by the phrases of our own. ``sure`` counts the notes that the model calls sure and how
many of them are right. The phrases are played without a mark, and with the position that their mark names.
One may add phrases to see these alone.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Sequence
from typing import NamedTuple

from tabtools.fingering.moments import Layers, Sounded, moments
from tabtools.fingering.neck import Neck
from tabtools.fingering.search import Solution
from tabtools.fingering.states import Want
from tabtools.fingering.weights import PROFILES, SURE, Weights
from tabtools.forms.written import parse_label
from tabtools.instrument import GUITAR
from tests.benchmarks.fingering import CASES, LAST_FRET, PROFILE, Piece, pieces, read
from tests.benchmarks.fingering_plain import lowest, viterbi

PRICES = {"classical": (0.05, 0.12, 0.2), "neutral": (0.1, 0.25, 0.4), "lead": (0.25, 0.35, 0.45)}
_NOTE = re.compile(r"(?P<join>[hp/]?)(?P<string>\d):(?P<fret>\d+)(?:b(?P<bend>\d))?")
_JOINS = {"h": "hammer", "p": "pull", "/": "slide"}
_EIGHTH = 250_000  # microseconds


class Share(NamedTuple):
    """How many of some labels are right."""

    right: int = 0
    of: int = 0

    def __str__(self) -> str:
        return f"{100 * self.right / max(1, self.of):5.1f} % of {self.of:4}"


def _share(hits: Sequence[bool]) -> Share:
    return Share(sum(hits), len(hits))


def _hits(source: Sequence[Piece], weights: Weights) -> list[bool]:
    return [
        r.place == r.row.place
        for piece in source
        for r in read(piece, weights, given=False)
        if r.row.place is not None
    ]


def sources() -> None:
    by_source: dict[str, list[Piece]] = {}
    for piece in pieces():
        if any(row.place for row in piece.rows):
            by_source.setdefault(piece.source, []).append(piece)
    tables = {
        (name, price): _hits(found, PROFILES[PROFILE[name]]._replace(open_string=price))
        for name, found in by_source.items()
        for price in PRICES[PROFILE[name]]
    }
    for name, found in sorted(by_source.items()):
        profile = PROFILES[PROFILE[name]]
        rows = [row for piece in found for row in piece.rows]
        places = [row.place for row in rows]
        print(f"{name} ({PROFILE[name]})")
        for method in (lowest, viterbi):
            guesses = [place for piece in found for place in method(piece)]
            hits = [a == b for a, b in zip(guesses, places, strict=True) if b is not None]
            print(f"  {method.__name__:<10} {_share(hits)}")
        readings = [r for piece in found for r in read(piece, profile, given=False) if r.row.place]
        fretted = [r.place == r.row.place for r in readings if r.row.place and r.row.place[1]]
        sure = [r.place == r.row.place for r in readings if r.confidence >= SURE]
        print(
            f"  {'model':<10} {_share([r.place == r.row.place for r in readings])}, fretted {_share(fretted)}"
        )
        print(f"  {'left out':<10} {_share(tables[name, _chosen(name, by_source, tables)])}")
        print(f"  {'sure':<10} {_share(sure)}")


def _chosen(
    name: str, by_source: dict[str, list[Piece]], tables: dict[tuple[str, float], list[bool]]
) -> float:
    """The price that the other sources of the profile agree with best, share by share."""
    others = [other for other in by_source if other != name and PROFILE[other] == PROFILE[name]]

    def agreement(price: float) -> float:
        if not others:
            return phrases(PROFILES[PROFILE[name]]._replace(open_string=price)).right
        return sum(_share(tables[other, price]).right / len(tables[other, price]) for other in others)

    return max(PRICES[PROFILE[name]], key=agreement)


class Phrase(NamedTuple):
    """A phrase of our own: its name, the mark over it, and its notes with the strings that are meant."""

    name: str
    mark: str
    sounded: list[Sounded]
    places: list[tuple[int, int]]


def load_phrases() -> list[Phrase]:
    lines = (CASES / "phrases.txt").read_text("utf-8").splitlines()
    return [_phrase(*line.split("|")) for line in lines if line and not line.startswith("#")]


def _phrase(name: str, mark: str, tab: str) -> Phrase:
    neck = Neck(GUITAR, "medium", LAST_FRET)
    sounded: list[Sounded] = []
    places: list[tuple[int, int]] = []
    last: dict[int, int] = {}
    now = 0
    for token in tab.split():
        body, _, length = token.partition("=")
        end = now + (int(length) * 2 if length else 1) * _EIGHTH
        for text in body.split("+"):
            match = _NOTE.fullmatch(text)
            assert match, text
            string, fret = int(match["string"]), int(match["fret"])
            want = Want(neck.places(neck.sounds((string, fret))), bend=float(match["bend"] or 0))
            joined = last.get(string) if match["join"] else None
            join = _JOINS[match["join"]] if joined is not None else ""
            last[string] = len(sounded)
            sounded.append(Sounded(now, end, want, joined=joined, join=join))
            places.append((string, fret))
        now = end
    return Phrase(name.strip(), mark.strip(), sounded, places)


def phrases(weights: Weights, *, marked: bool = False) -> Share:
    """The strings that are right in the phrases, without a mark or with the position that it names."""
    hits = []
    for phrase in load_phrases():
        label = parse_label(phrase.mark)
        position = max(1, label.position or 1) if label and marked else None
        hits += _played(phrase, weights._replace(position=position))
    return _share(hits)


def _played(phrase: Phrase, weights: Weights) -> list[bool]:
    found = moments(phrase.sounded)
    layers = Layers(Neck(GUITAR, "medium", LAST_FRET), weights)
    solution = Solution(layers.steps(phrase.sounded, found), layers.moves)
    return [
        held is not None and held[:2] == phrase.places[number]
        for step, moment in enumerate(found)
        for number, held in zip(
            moment.struck, solution.steps[step].layer.shapes[solution.path[step]], strict=False
        )
    ]


if __name__ == "__main__":
    if sys.argv[1:] != ["phrases"]:
        sources()
    lead = PROFILES["lead"]
    print(f"phrases of our own, no mark {phrases(lead)}, with the position {phrases(lead, marked=True)}")
