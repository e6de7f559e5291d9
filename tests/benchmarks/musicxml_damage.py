"""What becomes of MusicXML files that one thing was broken in: `python -m tests.benchmarks.musicxml_damage`.

Each kind of damage is done once to each of forty small files; half of the files are for building (the
default), the others, with ``judge`` behind the command, for judging once. For each kind: how many files were
damaged, in how many of them something is found that was not found before, how often `convert` or all repairs
leave music that is further from the undamaged file's than the damaged file's was, and how often all repairs
give the undamaged file back byte for byte.
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from pathlib import Path

from tabtools.document import Document
from tabtools.lint.engine import examine
from tabtools.lint.plan import plain
from tabtools.lint.rules import load_all
from tabtools.musicxml.reader import read_musicxml
from tabtools.musicxml.writer import write_musicxml
from tabtools.reading import read
from tabtools.score import Note, Score
from tabtools.source import UnreadableError
from tabtools.theory.respelling import respell
from tests.benchmarks.musicxml_damage_kinds import KINDS
from tests.musicxml.mending import mended
from tests.musicxml.samples import SAMPLES

_LESSONS = sorted((Path(__file__).parents[2] / "samples").glob("*.*"))
_BARS_A_FILE = 3
# Rules on files: what is found in the music besides (harmony, reach) is chance.
_GROUPS = ("MusicXML", "rhythm", "playability", "housekeeping")
_PLAN = plain(
    rule for rule in load_all() if rule.group in _GROUPS and rule.name not in ("schema-invalid", "fast-shift")
)


def files() -> dict[str, str]:
    """The undamaged files by name: the sample scores of the tests, and the beginnings of the sample
    lessons."""
    texts = {name: write_musicxml(score).decode() for name, score in SAMPLES.items()}
    for path in _LESSONS:
        if path.suffix in (".txt", ".musicxml"):
            score = respell(read(path.name, path.read_bytes()).score)
            places = [(p, at) for p in score.parts for at in range(0, len(p.bars), _BARS_A_FILE)]
            for part, start in places:
                bars = part.bars[start : start + _BARS_A_FILE]
                numbered = tuple(
                    bar._replace(number=n, repeat_times=0, endings=()) for n, bar in enumerate(bars, 1)
                )
                piece = Score((part._replace(bars=numbered),))
                texts[f"{path.stem}, {part.name}, bar {start + 1}"] = write_musicxml(piece).decode()
    return texts


def music(score: Score) -> Counter[object]:
    """Everything that is played, for comparing."""
    return Counter(
        (
            number,
            bar.number,
            event.onset,
            event.duration,
            note.pitch and note.pitch.midi,
            note.string,
            note.fret,
            note.tied,
        )
        for number, part in enumerate(score.parts)
        for bar in part.bars
        for event in bar.events
        for note in event.notes
    )


def _sound(note: Note) -> object:
    return note.pitch and note.pitch.midi, note.string, note.fret, note.tied


def distance(score: Score, wanted: Score) -> int:
    """In how many notes two scores differ, counted on both sides."""
    here, there = music(score), music(wanted)
    return (here - there).total() + (there - here).total()


def rules_found(document: Document) -> Counter[str]:
    """How often each rule finds something."""
    return Counter(finding.rule for finding in examine(document, _PLAN).findings)


def outcome(text: str, damaged: str, clean: Document, before: Counter[str]) -> set[str]:
    """What became of a damaged file, in the words of the table's head."""
    try:
        document = read_musicxml("x", damaged.encode())
    except UnreadableError:
        return {"found", "refused"}
    marks = {"found"} if rules_found(document) - before else set()
    far = distance(document.score, clean.score)
    kept = mended(document, unsafe=False)
    if distance(kept.document.score, clean.score) > far:
        marks.add("convert worse")
    done = mended(document)
    if distance(done.document.score, clean.score) > far:
        marks.add("repairs worse")
    if done.text == text:
        marks.add("restored")
    if damaged != text and far:
        marks.add("music changed")
    return marks


def main(judge: bool, only: str) -> None:
    """Print the table."""
    columns = ("found", "refused", "music changed", "convert worse", "repairs worse", "restored")
    chosen = [item for number, item in enumerate(sorted(files().items())) if number % 2 == judge]
    clean = {name: read_musicxml(name, text.encode()) for name, text in chosen}
    before = {name: rules_found(document) for name, document in clean.items()}
    totals: Counter[str] = Counter()
    print(
        f"{len(chosen)} files, {len(KINDS)} kinds\n{'':38}{'files':>6}" + "".join(f"{c:>15}" for c in columns)
    )
    for kind, damage in KINDS.items():
        if only and only not in kind:
            continue
        counts: Counter[str] = Counter()
        for name, text in chosen:
            damaged = damage(text, random.Random(f"{kind}{name}{judge}"))
            if damaged is None or damaged == text:
                continue
            counts["files"] += 1
            marks = outcome(text, damaged, clean[name], before[name])
            counts.update(marks)
            if only:
                print(f"  {name}: {sorted(marks)}")
        totals += counts
        print(f"{kind:38}{counts['files']:6}" + "".join(f"{counts[column]:15}" for column in columns))
    print(f"{'all':38}{totals['files']:6}" + "".join(f"{totals[column]:15}" for column in columns))


if __name__ == "__main__":
    main("judge" in sys.argv[1:], " ".join(word for word in sys.argv[1:] if word != "judge"))
