"""Tab staves without a tuning or with a wrong one, and the tuning that their notes prove."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from lxml import etree

from tabtools.instrument import TUNINGS
from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.clean.pitches import write_pitch
from tabtools.musicxml.edit.insert import insert
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.located import LocatedPart
from tabtools.musicxml.reading.values import count, staff_number, text_of, whole
from tabtools.musicxml.writing.attributes import tuning_of_line
from tabtools.musicxml.writing.fragment import Fragment, tag
from tabtools.score import Pitch
from tabtools.source import Edit, Span
from tabtools.theory.spelling import spell

RULE = "tuning-missing"
MISMATCH = "fret-pitch-mismatch"
_ENOUGH = 3  # notes, or strings
_AGREEING = 2  # strings


def faults(where: Extents, parts: Sequence[LocatedPart]) -> Iterator[Fault]:
    """A fault for every part with a tab staff and no tuning, and for every string whose notes all say another
    one; mended where the notes prove it."""
    for part in parts:
        yield from _mistuned_strings(where, part)
        clef, details = _tab_clef(part), _details(part)
        if not part.instrument.inferred or not part.tab:
            continue
        holder = details if details is not None else clef.getparent() if clef is not None else None
        if holder is None:
            continue
        proved = open_strings(part)
        lines = whole(details.find("staff-lines")) if details is not None else 0
        row = _row(proved, lines)
        repair = None
        if row is not None:
            edits = _edits(where, holder, details, clef, row)
            words = "write the tuning " + " ".join(pitch.name for pitch in reversed(row))
            words += ": the pitches and frets of the notes prove it"
            # Every note of the part is read with the new tuning.
            repair = Repair(tuple(edits), words, safe=False, changes=(Span(0, len(where.text)),))
        shown = clef if details is None and clef is not None else holder
        yield Fault(RULE, where[shown].span, "the tab staff has no tuning", None, repair)


def _tab_clef(part: LocatedPart) -> etree._Element | None:
    clefs = (clef for bar in part.bars for clef in bar.content.iterfind("attributes/clef"))
    return next((clef for clef in clefs if text_of(clef.find("sign")).upper() == "TAB"), None)


def _details(part: LocatedPart) -> etree._Element | None:
    details = (d for bar in part.bars for d in bar.content.iterfind("attributes/staff-details"))
    return next((d for d in details if not part.tab or staff_number(d) in part.tab), None)


def open_strings(part: LocatedPart) -> Mapping[int, int]:
    """The MIDI numbers of the open strings, by string, that all the notes on them agree about."""
    heard: dict[int, set[int]] = {}
    for note in part.notes:
        if note.string is None or note.fret is None or note.sounding is None:
            continue
        if not note.sounds_elsewhere and not note.contains("notehead"):
            capo = note.in_force.instrument.capo
            heard.setdefault(note.string, set()).add(note.sounding - note.fret - capo)
    return {string: pitches.pop() for string, pitches in heard.items() if len(pitches) == 1}


def mistuned(part: LocatedPart) -> dict[int, int]:
    """The strings whose notes are all written as if the open string were another, and its MIDI number.

    It takes some notes on that string and on two others which agree with the tuning that the file gives, for
    the whole part.
    """
    proved, tuning = open_strings(part), _tuning(part)
    agree = [string for string, pitch in proved.items() if tuning.get(string) == pitch]
    if len(agree) < _AGREEING or len(_given(part)) != len(tuning) or _is_retuned(part):
        return {}
    notes = Counter(note.string for note in part.notes)
    return {
        string: pitch
        for string, pitch in proved.items()
        if string in tuning and tuning[string] != pitch and notes[string] >= _ENOUGH
    }


def _given(part: LocatedPart) -> list[etree._Element]:
    """Every element of the part that tunes a string."""
    return [e for bar in part.bars for e in bar.content.iterfind("attributes/staff-details/staff-tuning")]


def _is_retuned(part: LocatedPart) -> bool:
    """Whether strings change somewhere in the part."""
    tunings = {note.in_force.instrument.tuning for note in part.notes}
    return len(tunings | {part.instrument.tuning}) > 1


def _tuning(part: LocatedPart) -> dict[int, int]:
    """The MIDI numbers of the open strings without capo, by string; empty where they are a guess."""
    if part.instrument.inferred:
        return {}
    return {string: pitch.midi for string, pitch in enumerate(part.instrument.tuning, 1)}


def _mistuned_strings(where: Extents, part: LocatedPart) -> Iterator[Fault]:
    tuning = _tuning(part)
    given = {len(tuning) + 1 - (count(e.get("line")) or 0): e for e in _given(part)}
    for string, midi in mistuned(part).items():
        name, stated = spell(midi, None), spell(tuning[string], None).name
        message = (
            f"string {string} is tuned to {stated} here, and all the notes on it are written as on one of "
            f"{name.name}: correct the tuning, or the frets"
        )
        repair = None
        if _is_usual(part, string, midi):
            edits = tuple(write_pitch(where, given[string], name, "tuning-"))
            # Every note of the string is read with the new tuning.
            changes = (Span(0, len(where.text)),)
            words = f"tune string {string} to {name.name}: the pitches and frets of its notes prove it"
            repair = Repair(edits, words, safe=False, changes=changes)
        yield Fault(MISMATCH, where[given[string]].span, message, None, repair)


def _is_usual(part: LocatedPart, string: int, midi: int) -> bool:
    """Whether the tuning with one string changed has a name, and is not one as given."""
    now = _tuning(part)
    named = {tuple(pitch.midi for pitch in row.strings) for row in TUNINGS}
    return tuple(now.values()) not in named and tuple({**now, string: midi}.values()) in named


def _row(proved: Mapping[int, int], lines: int) -> tuple[Pitch, ...] | None:
    """The tuning of the table that fits: the only one, or the most usual where three strings are proved."""
    fitting = [
        row.strings
        for row in TUNINGS
        if (not lines or len(row.strings) == lines)
        and all(s <= len(row.strings) and row.strings[s - 1].midi == midi for s, midi in proved.items())
    ]
    return fitting[0] if fitting and (len(fitting) == 1 or len(proved) >= _ENOUGH) else None


def _edits(
    where: Extents,
    holder: etree._Element,
    details: etree._Element | None,
    clef: etree._Element | None,
    row: tuple[Pitch, ...],
) -> list[Edit]:
    tunings: list[Fragment] = [tuning_of_line(line, pitch) for line, pitch in enumerate(reversed(row), 1)]
    if details is None or details.find("staff-lines") is None:
        tunings.insert(0, tag("staff-lines", len(row)))
    if details is not None:
        return insert(where, details, *tunings)
    number = clef.get("number") if clef is not None else None
    attributes = {"number": number} if number else {}
    return insert(where, holder, tag("staff-details", *tunings, **attributes))
