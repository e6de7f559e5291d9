"""Small pages with one habit each, against their readings."""

from __future__ import annotations

from pathlib import Path

import pytest

from tabtools.score import Event, Note
from tabtools.source import Source, UnreadableError
from tabtools.text.reader import read_text

FILE = Path(__file__).parent.parent / "cases" / "readings" / "worked.txt"
CASES = {
    block.partition("\n")[0]: block.partition("\n")[2] for block in FILE.read_text("utf-8").split("=== ")[1:]
}


def _note(note: Note) -> str:
    words = "".join(f":{technique.word}" for technique in note.techniques)
    return f"{note.string}/{'x' if note.fret is None else note.fret}{words}{'=' if note.tied else ''}"


def _bar(events: tuple[Event, ...]) -> str:
    return " ".join("+".join(map(_note, event.notes)) for event in events if event.notes) or "-"


@pytest.mark.parametrize("name", CASES)
def test_reading(name: str) -> None:
    page, _, rest = CASES[name].partition("\n--- ")
    kinds, _, reading = rest.strip("\n").partition("\n")
    if reading == "refused":
        with pytest.raises(UnreadableError) as raised:
            read_text(Source(name, page + "\n"))
        assert raised.value.reason.startswith(kinds)
        return
    document = read_text(Source(name, page + "\n"))
    bars = [_bar(bar.events) for part in document.score.parts for bar in part.bars]
    assert "\n".join(bars) == reading
    found = {doubt.kind for doubt in document.doubts} - {"missing-string", "rhythm-unclear"}
    assert " ".join(sorted(found) or "-") == kinds
