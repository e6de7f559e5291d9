"""Tab staves without a tuning or with a wrong one, and the tuning that their notes prove."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from lxml import etree

from tabtools.instrument import TUNINGS
from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.clean.pitches import write_pitch
from tabtools.musicxml.edit.insert import insert
from tabtools.musicxml.positions import Located
from tabtools.musicxml.walk import Track, text, whole
from tabtools.musicxml.writing.attributes import tuning_of_line
from tabtools.musicxml.writing.fragment import Fragment, tag
from tabtools.score import Pitch
from tabtools.source import Edit, Span
from tabtools.theory.spelling import spell

RULE = "tuning-missing"
MISMATCH = "fret-pitch-mismatch"
_ENOUGH = 3  # notes, or strings
_AGREEING = 2  # strings


def faults(where: Located, tracks: Sequence[Track]) -> Iterator[Fault]:
    """A fault for every part with a tab staff and no tuning, and for every string whose notes all say another
    one; mended where the notes prove it."""
    for track in tracks:
        yield from _mistuned_strings(where, track)
        clef, details = _tab_clef(track), _details(track)
        if track.tuning or not track.tab:
            continue
        holder = details if details is not None else clef.getparent() if clef is not None else None
        if holder is None:
            continue
        proved = open_strings(track)
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


def _tab_clef(track: Track) -> etree._Element | None:
    clefs = (clef for m in track.measures for clef in m.element.iterfind("attributes/clef"))
    return next((clef for clef in clefs if (text(clef, "sign") or "").upper() == "TAB"), None)


def _details(track: Track) -> etree._Element | None:
    found = (d for m in track.measures for d in m.element.iterfind("attributes/staff-details"))
    return next((d for d in found if not track.tab or int(d.get("number") or 1) in track.tab), None)


def open_strings(track: Track) -> Mapping[int, int]:
    """The MIDI numbers of the open strings, by string, that all the notes on them agree about."""
    heard: dict[int, set[int]] = {}
    for note in track.notes:
        if note.string is None or note.fret is None or note.sounding is None:
            continue
        if not note.has("notations/technical/harmonic") and not note.has("notehead"):
            heard.setdefault(note.string, set()).add(note.sounding - note.fret - track.capo)
    return {string: pitches.pop() for string, pitches in heard.items() if len(pitches) == 1}


def mistuned(track: Track) -> dict[int, int]:
    """The strings whose notes are all written as if the open string were another, and its MIDI number.

    It takes some notes on that string and on two others which agree with the tuning that the file gives, for
    the whole part.
    """
    proved = open_strings(track)
    agree = [string for string, pitch in proved.items() if track.tuning.get(string) == pitch]
    if len(agree) < _AGREEING or len(_given(track)) != len(track.tuning):
        return {}
    notes = Counter(note.string for note in track.notes)
    return {
        string: pitch
        for string, pitch in proved.items()
        if string in track.tuning and track.tuning[string] != pitch and notes[string] >= _ENOUGH
    }


def _given(track: Track) -> list[etree._Element]:
    """Every element of the part that tunes a string."""
    return [e for m in track.measures for e in m.element.iterfind("attributes/staff-details/staff-tuning")]


def _mistuned_strings(where: Located, track: Track) -> Iterator[Fault]:
    given = {len(track.tuning) + 1 - int(e.get("line") or 0): e for e in _given(track)}
    for string, midi in mistuned(track).items():
        name, other = spell(midi, None), spell(track.tuning[string], None).name
        message = (
            f"string {string} is tuned to {other} here, and all the notes on it are written as on one of "
            f"{name.name}: correct the tuning, or the frets"
        )
        edits = tuple(write_pitch(where, given[string], name, "tuning-"))
        # Every note of the string is read with the new tuning.
        changes = (Span(0, len(where.text)),)
        words = f"tune string {string} to {name.name}: the pitches and frets of its notes prove it"
        repair = Repair(edits, words, safe=False, certain=_is_usual(track, string, midi), changes=changes)
        yield Fault(MISMATCH, where[given[string]].span, message, None, repair)


def _is_usual(track: Track, string: int, midi: int) -> bool:
    """Whether the tuning with one string changed has a name, and is not one as given."""
    now = dict(sorted(track.tuning.items()))
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
    where: Located,
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
