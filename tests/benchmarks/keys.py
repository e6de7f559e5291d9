"""How well keys and spellings are found: `python -m tests.benchmarks.keys [--every 9]`.

The tunes are the collections of traditional tunes in ABC that music21 brings along, with the key that their
transcriber typed; their chromatic notes are spelled in the files. Read at run time, copied nowhere. The
methods to beat are music21's own profile analyses of the same scores. The bonuses gain most on the average
of the collections; the benchmark also chooses them without each collection in turn.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import re
import time
import warnings
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from tabtools.score import Key
from tabtools.theory import key_finding
from tabtools.theory.key import fifths, key_from_fifths, parse_key
from tabtools.theory.key_finding import key_of_notes
from tabtools.theory.line_of_fifths import pitch_class, place
from tabtools.theory.spelling import spell

FOLDERS = ("airdsAirs", "ryansMammoth", "oneills1850", "essenFolksong")
METHODS = ("KrumhanslSchmuckler", "AardenEssen", "SimpleWeights", "BellmanBudge", "TemperleyKostkaPayne")
FEWEST = 16
MODES = {
    "mix": "mixolydian",
    "dor": "dorian",
    "phr": "phrygian",
    "lyd": "lydian",
    "min": "minor",
    "maj": "major",
}


@dataclass(frozen=True)
class Tune:
    folder: str
    key: Key
    sharps: int
    notes: tuple[tuple[int, str, Fraction], ...]
    downbeat: int
    stream: Any


def tunes(every: int) -> Iterator[Tune]:
    import music21

    root = Path(music21.__file__).parent / "corpus"
    for folder in FOLDERS:
        books = (file.read_text(errors="replace") for file in sorted((root / folder).glob("*.abc")))
        texts = [text for book in books for text in re.split(r"(?m)^(?=X:)", book) if "K:" in text]
        for text in texts[::every]:
            if tune := _tune(folder, text):
                yield tune


def _tune(folder: str, text: str) -> Tune | None:
    from music21 import converter, key, note

    labels = re.findall(r"(?m)^K:\s*([A-G][#b]?)\s*([A-Za-z]*)", text)
    if len(labels) != 1:
        return None
    tonic, mode = labels[0]
    written = parse_key(f"{tonic} {MODES.get(mode[:3].lower(), 'minor' if mode.lower() == 'm' else 'major')}")
    try:
        with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
            stream = converter.parse(text, format="abc", forceSource=True)
    except Exception:  # what music21 can't read is no material
        return None
    signature = stream.recurse().getElementsByClass(key.KeySignature).first()
    found = [n for n in stream.recurse().notes if isinstance(n, note.Note)]
    notes = tuple((n.pitch.midi, n.pitch.name.replace("-", "b"), Fraction(n.quarterLength)) for n in found)
    if written is None or len(notes) < FEWEST:
        return None
    downbeat = next((n.pitch.midi for n in found if n.beatStrength == 1), notes[0][0])
    return Tune(folder, written, signature.sharps if signature else 0, notes, downbeat, stream)


def ours(tune: Tune) -> tuple[int, str]:
    reading = key_of_notes([(midi, length) for midi, _, length in tune.notes], tune.downbeat)
    assert reading is not None
    return pitch_class(place(reading.key.step, reading.key.alter)), reading.key.mode


def profiles_alone(tune: Tune) -> tuple[int, str]:
    return _with_bonuses(tune, (0.0, 0.0))


def _with_bonuses(tune: Tune, bonuses: tuple[float, float]) -> tuple[int, str]:
    """Our reading with other bonuses for the last note and the first downbeat."""
    kept = key_finding.LAST_NOTE, key_finding.FIRST_DOWNBEAT
    key_finding.LAST_NOTE, key_finding.FIRST_DOWNBEAT = bonuses
    try:
        return ours(tune)
    finally:
        key_finding.LAST_NOTE, key_finding.FIRST_DOWNBEAT = kept


def held_out(data: list[Tune]) -> None:
    """Choose both bonuses on the average of three collections, score them on the fourth."""
    print("\nbonuses for last note and downbeat, chosen without the collection that they are scored on")
    choices = [
        (last, first) for last in (0.0, 0.05, 0.1, 0.15, 0.2) for first in (0.0, 0.03, 0.06, 0.1, 0.13)
    ]
    rows = {f: [t for t in data if t.folder == f and t.key.mode in ("major", "minor")] for f in FOLDERS}
    share = {
        (folder, bonuses): sum(_with_bonuses(t, bonuses) == _truth(t) for t in tunes) / max(1, len(tunes))
        for folder, tunes in rows.items()
        for bonuses in choices
    }
    for folder in FOLDERS:
        best = max(choices, key=lambda b: (sum(share[other, b] for other in FOLDERS if other != folder), b))
        print(f"{folder:14} {share[folder, best]:.1%} with {best}")


def _truth(tune: Tune) -> tuple[int, str]:
    return pitch_class(place(tune.key.step, tune.key.alter)), tune.key.mode


def analysis(name: str) -> Callable[[Tune], tuple[int, str]]:
    from music21.analysis import discrete

    def solve(tune: Tune) -> tuple[int, str]:
        found = getattr(discrete, name)().getSolution(tune.stream)
        return found.tonic.pitchClass, found.mode

    return solve


def row(name: str, method: Callable[[Tune], tuple[int, str]], data: list[Tune]) -> None:
    """Print the share of major and minor tunes with tonic and mode right: by folder, in all, and the time."""
    right: dict[str, list[bool]] = {folder: [] for folder in FOLDERS}
    start = time.process_time()
    for tune in data:
        if tune.key.mode in ("major", "minor"):
            right[tune.folder].append(method(tune) == _truth(tune))
    every = [yes for folder in right.values() for yes in folder]
    spent = 1000 * (time.process_time() - start) / len(every)
    shares = "  ".join(f"{sum(yes) / max(1, len(yes)):6.1%}" for yes in right.values())
    print(f"{name:44} {shares}  {sum(every) / len(every):6.1%}  {spent:7.2f} ms a tune")


def calibration(data: list[Tune]) -> None:
    print("\nmargin to the runner-up    tunes   right")
    found = []
    for tune in data:
        reading = key_of_notes([(midi, length) for midi, _, length in tune.notes], tune.downbeat)
        if reading and tune.key.mode in ("major", "minor"):
            found.append(
                (
                    reading.margin,
                    ours(tune) == (pitch_class(place(tune.key.step, tune.key.alter)), tune.key.mode),
                )
            )
    for low, high in ((0.0, 0.05), (0.05, 0.1), (0.1, 0.2), (0.2, 0.3), (0.3, 2.0)):
        inside = [yes for margin, yes in found if low <= margin < high]
        print(
            f"{low:.2f} to {high:.2f}             {len(inside):6}  {sum(inside) / max(1, len(inside)):6.1%}"
        )


def spelling(data: list[Tune]) -> None:
    """Names given the signature: of each note alone, and with the next other note of the line known."""
    alone: list[bool] = []
    in_line: list[bool] = []
    chromatic: list[bool] = []
    for tune in data:
        key = key_from_fifths(tune.sharps, tune.key.mode if tune.key.mode in ("major", "minor") else "major")
        for (midi, name, _), step in zip(tune.notes, _steps(tune), strict=True):
            alone.append(spell(midi, key).letter == name)
            in_line.append(spell(midi, key, then=step).letter == name)
            chromatic.append(not -1 <= _place(name) - fifths(key) <= 5)
    print(f"\nspelling, signature given, {len(alone)} notes, {sum(chromatic)} chromatic")
    for label, hits in (("note alone", alone), ("in its line", in_line)):
        named = sum(hit for hit, odd in zip(hits, chromatic, strict=True) if odd)
        print(
            f"{label:12} {sum(hits) / len(hits):.2%}; of the chromatic {named / max(1, sum(chromatic)):.1%}"
        )


def _steps(tune: Tune) -> list[int]:
    """For each note the step to the next other pitch: a semitone down or up, or 0."""
    steps, after, following = [], 0, 0
    for midi, _, _ in reversed(tune.notes):
        if midi != after:
            after, following = midi, after
        steps.append(following - midi if abs(following - midi) == 1 else 0)
    return steps[::-1]


def _place(name: str) -> int:
    return place(name[0], name.count("#") - name[1:].count("b"))


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--every", type=int, default=9, help="take every nth tune")
    warnings.simplefilter("ignore")
    data = list(tunes(parser.parse_args().every))
    print(f"{len(data)} tunes; {'':28} {'  '.join(FOLDERS)}   all")
    row("tabtools", ours, data)
    row("tabtools, profiles alone", profiles_alone, data)
    for name in METHODS:
        row(f"music21 {name}", analysis(name), data)
    held_out(data)
    calibration(data)
    spelling(data)


if __name__ == "__main__":
    main()
