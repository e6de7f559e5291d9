"""Pages drawn without any code of ours, as other programs and hands draw them: every bar on one grid."""

from __future__ import annotations

from fractions import Fraction

from tabtools.score import Bar, Instrument, Score

PER_LINE = 3  # bars
_NAMES = {Fraction(1, 4): "e", Fraction(1, 2): "&", Fraction(3, 4): "a"}


def drawn(
    score: Score,
    *,
    labels: str = "eBGDAE",
    header: bool = True,
    counts: bool = False,
    lead: int = 1,
    end: str = "",
    newline: str = "\n",
) -> str:
    """A page with one step of the grid for each smallest note.

    ``labels`` may be in lower case, as ``lower``, or left out, as ``none``; ``lead`` hyphens stand before the
    first note of a bar, and ``end`` behind the last bar line.
    """
    (part,) = score.parts
    names = _labels(part.instrument, labels)
    width = max(map(len, names))
    lines = _header(score, part.instrument, part.bars[0]) if header else []
    for start in range(0, len(part.bars), PER_LINE):
        bars = part.bars[start : start + PER_LINE]
        step = _step(part.bars)
        cell = (
            3
            if any(note.fret and note.fret > 9 for b in part.bars for e in b.events for note in e.notes)
            else 2
        )
        if counts:
            row = " ".join(" " * lead + _counts(bar, step, cell) for bar in bars)
            lines.append((" " * (width + 1) + row).rstrip())
        for string, name in enumerate(names, 1):
            row = "|".join("-" * lead + _row(bar, string, step, cell) for bar in bars)
            last = end if start + PER_LINE >= len(part.bars) else ""
            lines.append(f"{name:{width}}|{row}|{last}")
        lines.append("")
    return newline.join(lines)


def _labels(instrument: Instrument, kind: str) -> list[str]:
    letters = [pitch.letter for pitch in instrument.tuning]
    if kind == "none":
        return [""] * len(letters)
    return [letter.lower() if kind == "lower" or at == 0 else letter for at, letter in enumerate(letters)]


def _header(score: Score, instrument: Instrument, bar: Bar) -> list[str]:
    tuning = " ".join(pitch.letter for pitch in reversed(instrument.tuning))
    capo = [f"Capo: {instrument.capo}"] if instrument.capo else []
    key = [f"Key: {bar.key.name}"] if bar.key else []
    return [f"Title: {score.title}", f"Tuning: {tuning}", *capo, *key, f"Time: {bar.time.name}", ""]


def _step(bars: tuple[Bar, ...]) -> Fraction:
    """The longest even step that every onset lies on, in quarter notes."""
    step = Fraction(1, 2)
    while any((event.onset / step).denominator > 1 for bar in bars for event in bar.events):
        step /= 2
    return step


def _row(bar: Bar, string: int, step: Fraction, cell: int) -> str:
    cells = ["-" * cell] * int(bar.time.length / step)
    for event in bar.events:
        for note in event.notes:
            if note.string == string and not note.tied:
                cells[int(event.onset / step)] = str(note.fret).ljust(cell, "-")
    return "".join(cells)


def _counts(bar: Bar, step: Fraction, cell: int) -> str:
    places = [at * step for at in range(int(bar.time.length / step))]
    if bar.time.unit == 8:
        names = [str(int(place * 2) + 1) if not place % Fraction(1, 2) else "" for place in places]
    else:
        # What is shorter than a sixteenth has no name of its own.
        names = [_NAMES.get(place % 1, "" if place % 1 else str(int(place) + 1)) for place in places]
    return "".join(name.ljust(cell) for name in names)
