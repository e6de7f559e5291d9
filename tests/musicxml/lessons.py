"""The sample lessons as scores, drafts included: real pages for the readers of other projects."""

from __future__ import annotations

from pathlib import Path

from tabtools.reading import read
from tabtools.score import Score

_SAMPLES = Path(__file__).parents[2] / "samples"

LESSONS: dict[str, Score] = {
    str(path.relative_to(_SAMPLES)): read(path.name, path.read_bytes()).score
    for path in sorted(_SAMPLES.rglob("*"))
    if path.suffix in (".txt", ".musicxml")
}
