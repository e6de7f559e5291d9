"""Named forms for people: a table of the groups, and a picture of the neck for each form."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from textwrap import wrap

from tabtools.forms.boxes import scale_box
from tabtools.forms.neck import neck
from tabtools.forms.places import form_grip
from tabtools.forms.roles import OUTSIDE
from tabtools.forms.segments import NamedNote, Reading, Segment
from tabtools.forms.words import anchor_words, box_words, form_words, nut_words, scale_words, stretch_words
from tabtools.score import Instrument, Part, Score
from tabtools.text.writing.tunings import row_labels

WIDTH = 100
_HEAD = ("bar", "form", "root", "position", "notes (string:fret, name: what it is)")
_COLUMNS = (7, 24, 6, 8)
_KEPT = "\N{NO-BREAK SPACE}"


def render(name: str, score: Score, segments: Sequence[Segment]) -> str:
    """The table and the pictures of a file; a part's name only where there are several."""
    lines = [name]
    for number, part in enumerate(score.parts):
        of_part = [segment for segment in segments if segment.part == number]
        lines += ["", *([part.name] if len(score.parts) > 1 else [])]
        if not of_part:
            lines.append("no notes with string and fret")
            continue
        lines += list(_worked_out(part))
        lines += list(_table(part, of_part))
        lines += list(_pictures(part, of_part))
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _worked_out(part: Part) -> Iterator[str]:
    """The key and the chords that nobody wrote, and from what they were worked out."""
    key, marks = part.bars[0].key, [mark for mark in part.bars[0].inferred if mark.fact == "key"]
    if key and marks:
        yield f"key: {key.name}, worked out from the {marks[0].evidence} ({marks[0].confidence:.0%} sure)"
    chords = [
        f"{h.symbol} in bar {bar.number} ({h.inferred[0].confidence:.0%} sure)"
        for bar in part.bars
        for h in bar.harmonies
        if h.inferred
    ]
    if chords:
        text = "chords, worked out from the notes: " + ", ".join(c.replace(" ", _KEPT) for c in chords)
        yield from (line.replace(_KEPT, " ") for line in wrap(text, WIDTH, subsequent_indent="  "))
    if chords or (key and marks):
        yield ""


def _table(part: Part, segments: Sequence[Segment]) -> Iterator[str]:
    yield _row(_HEAD[:-1]) + _HEAD[-1]
    indent = " " * len(_row(("",) * len(_COLUMNS)))
    for before, segment in zip([None, *segments], segments, strict=False):
        cells = _row((_bars(segment), *_cells(segment)))
        goes_on = before is not None and before.figure == segment.figure
        figure = [] if goes_on or not segment.figure else [f"[{segment.figure}]"]
        lines = [*_notes(segment), *figure, *_remarks(part, segment)]
        yield from ((indent if i else cells) + line.replace(_KEPT, " ") for i, line in enumerate(lines))


def _row(cells: Sequence[str]) -> str:
    return "".join(f"{cell:<{width}}  " for cell, width in zip(cells, _COLUMNS, strict=True))


def _bars(segment: Segment) -> str:
    first, last = segment.notes[0].bar.number, segment.notes[-1].bar.number
    return str(first) if first == last else f"{first}-{last}"


def _cells(segment: Segment) -> tuple[str, str, str]:
    """Form, root and position."""
    reading, position = segment.reading, str(segment.position or "open")
    if reading is None:
        return "run", "", position
    name = form_words(reading.form, reading.quality)
    if segment.box is not None:
        return f"{name}, box {segment.box.number}", reading.root, position
    return name, reading.root, position


def _notes(segment: Segment) -> list[str]:
    """The notes with what they are, each place and meaning once with how often it comes."""
    where = "" if segment.reading is None else "box" if segment.box else "form"
    times = Counter(_note(named, where) for named in segment.notes)
    return [f"{words} ({count} times)" if count > 1 else words for words, count in times.items()]


def _note(named: NamedNote, where: str) -> str:
    """A note and what it is; one outside the form or box that ``where`` names is marked."""
    outside = (
        f" (outside the {where})" if where and not named.member and OUTSIDE not in named.role.line else ""
    )
    return f"{named.note.string}:{named.note.fret} {named.role.letter}: {named.role.words}{outside}"


def _remarks(part: Part, segment: Segment) -> Iterator[str]:
    """Where a box or a run lies, and what else fits where the notes alone leave it open."""
    reading = segment.reading
    low, high = segment.frets
    frets = f"fret {low}" if low == high else f"frets {low} to {high}"
    if reading is not None and (stretch := stretch_words(segment.hand)):
        yield f"[{stretch}]"
    if segment.box is not None:
        yield f"[{box_words(segment.box, reading)}, {frets}]"
    elif reading is None and len(segment.notes) > 1:
        yield f"[{segment.scale} scale, {frets}]" if segment.scale else f"[{frets}]"
    elif reading is not None and part.instrument.capo:
        shape = form_words(reading.form, reading.quality)
        yield f"[{shape} at {_capo_place(reading)}, sounds {reading.symbol}]"
    for string, by in _retuned(part.instrument, segment):
        yield f"[string {string} is tuned {abs(by)} {'lower' if by < 0 else 'higher'} than the form has it]"
    for alternative in segment.equal_readings:
        yield f"[the same notes: {anchor_words(alternative)}]"
    if reading is not None and segment.box is None and not segment.sure:
        alternatives = [
            alternative for alternative in segment.readings[:3] if not _completes(reading, alternative)
        ]
        if alternatives:
            fit = ", ".join(
                f"{alternative.symbol} ({anchor_words(alternative)})" for alternative in alternatives
            )
            yield f"[not sure: the notes fit {fit} too]"


def _completes(power: Reading, alternative: Reading) -> bool:
    """Whether a chord only adds to a power chord, whose very name leaves its third open."""
    return power.quality == "5" and alternative.root == power.root


def _retuned(instrument: Instrument, segment: Segment) -> list[tuple[int, int]]:
    """The strings of a form that are tuned apart from the others, and by how many semitones."""
    if segment.kind != "form":
        return []
    strings = neck(instrument)
    used = sorted({named.note.string for named in segment.notes if named.note.string}, reverse=True)
    return [(string, strings.retuned(string)) for string in used if strings.retuned(string)]


def _capo_place(reading: Reading) -> str:
    return "the capo" if reading.anchor_fret == 0 else f"fret {reading.anchor_fret} from the capo"


def _pictures(part: Part, segments: Sequence[Segment]) -> Iterator[str]:
    """The neck for every form and box that was named, each once."""
    shown: set[str] = set()
    for segment in segments:
        reading = segment.reading
        if reading is None:
            continue
        title = _title(segment, reading)
        if title not in shown:
            shown.add(title)
            notes = _box_notes(part.instrument, segment) or _grip_notes(part.instrument, reading)
            if notes:
                yield from ("", title, *picture(part.instrument, notes))


def _title(segment: Segment, reading: Reading) -> str:
    if segment.box is not None:
        low, high = segment.frets
        return f"{scale_words(segment.box, reading)}, box {segment.box.number}, frets {low} to {high}"
    barre = f", barre at fret {reading.barre_fret}" if reading.barre_fret is not None else ""
    return f"{form_words(reading.form, reading.quality)} of {reading.symbol}, {nut_words(reading)}{barre}"


def _box_notes(instrument: Instrument, segment: Segment) -> list[tuple[int, int, str]]:
    if segment.box is None:
        return []
    scale = scale_box(neck(instrument), segment.box.minor_root, "minor pentatonic", *segment.frets)
    return [(string, fret, name) for string, places in scale for fret, name in places]


def _grip_notes(instrument: Instrument, reading: Reading) -> list[tuple[int, int, str]]:
    strings = neck(instrument)
    grip = form_grip(strings, reading.form, reading.quality, reading.anchor_fret)
    if grip is None:
        return []
    return [(string, fret, "R" if degree == "1" else degree) for string, fret, degree in grip.notes]


def picture(instrument: Instrument, notes: Sequence[tuple[int, int, str]]) -> Iterator[str]:
    """The neck in text, string 1 on top: each note's mark at its string and fret, R for the root."""
    frets = [fret for _, fret, _ in notes]
    columns = range(min(frets), max(frets) + 1)
    width = max(3, *(len(mark) + 1 for *_, mark in notes))
    yield "   fret " + " ".join(f"{fret:^{width}}" for fret in columns)
    marks = {(string, fret): mark for string, fret, mark in notes}
    for string, label in enumerate(row_labels(instrument), 1):
        cells = "|".join(f"{marks.get((string, fret), ''):-^{width}}" for fret in columns)
        yield f"  {label:>4} |{cells}|"
