"""The music of one bar once more, for another staff: the same notes at the same places, seen another way."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import groupby

from lxml import etree

from tabtools.musicxml.edit.insert import remove_attribute
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.located import LocatedBar, LocatedNote, Ticks
from tabtools.musicxml.reading.values import ticks
from tabtools.musicxml.writing.fragment import Fragment, decimal, tag
from tabtools.musicxml.writing.notes import pitch_fragment
from tabtools.musicxml.writing.rhythm import FLAGS, beam_words
from tabtools.record import NamedTuple
from tabtools.score import Note
from tabtools.source import Edit, Span, applied
from tabtools.theory.duration import beats

# Numbers of slurs and the like: those of the copy are as far above the original's as the schema has room for.
_NUMBERS_A_STAFF = 8
_JOINS = ("slur", "slide", "glissando")
_PLACES = ("string", "fret", "fingering", "pluck", "open-string")


class Copy(NamedTuple):
    """What the copies of a part's notes get: staff, voices by the original's voice, the notes as the score
    has them by where their elements start, and, on a notation staff, the accidentals by the same."""

    staff: int
    tab: bool
    voices: Mapping[str, str]
    notes: Mapping[int, Note]
    signs: Mapping[int, str]


# What a notation staff shows besides, where the tab staff it is made from has it.
_SEEN_IN_NOTATION = ("tuplet", "ornaments", "articulations", "fermata", "arpeggiate")


def copied(where: Extents, measure: LocatedBar, copy: Copy) -> list[Fragment]:
    """A backup over the whole bar and its elements once more; nothing for a bar without notes."""
    if not any(_played(where, note, copy) for note in measure.notes):
        return []
    found = [_move("backup", measure.now, measure.divisions)] if measure.now else []
    notes = {note.element: note for note in measure.notes}
    beams = {} if copy.tab else _beams(measure)
    divisions = measure.notes[0].divisions
    headless = False
    for child in measure.content:
        if child.tag == "note":
            note = notes[child]
            divisions = note.divisions
            headless = headless if note.chord else True
            made = _note(where, note, measure, copy, headless, beams.get(note, ()))
            if made is not None:
                found.append(made)
                headless = headless and made.name == "rest"
        elif child.tag in ("backup", "forward"):
            length = (ticks(child.find("duration")) or 0) / divisions
            found.append(_move(str(child.tag), length, measure.divisions))
        elif child.tag == "attributes" and child.find("divisions") is not None:
            divisions = Fraction(ticks(child.find("divisions")) or divisions)
    return [Fragment("note", made.xml) for made in _without_needless_rests(found)]


def _without_needless_rests(found: list[Fragment]) -> Iterator[Fragment]:
    """Without the rest for a chord's first note, unplayed, where the next one takes its place."""
    for place, made in enumerate(found):
        after = found[place + 1] if place + 1 < len(found) else None
        if not (made.name == "rest" and after is not None and after.name == "head"):
            yield made


def _played(where: Extents, note: LocatedNote, copy: Copy) -> Note | None:
    """The note as the score has it, if the copy's staff can show it."""
    found = copy.notes.get(where[note.element].start)
    if found is None or note.cue or note.rest:
        return None
    if copy.tab:
        return found if found.string is not None and found.fret is not None and found.pitch else None
    return found if found.pitch is not None else None


def _move(name: str, quarters: Fraction, divisions: Ticks) -> Fragment:
    return tag(name, tag("duration", decimal(quarters * divisions)))


def _note(
    where: Extents,
    note: LocatedNote,
    measure: LocatedBar,
    copy: Copy,
    headless: bool,
    beams: tuple[str, ...],
) -> Fragment | None:
    """The copy of a note, called ``head`` where it stands for the unplayed first note of its chord;
    a hidden rest, called ``rest``, where it is not played; None where nothing takes its time."""
    played = _played(where, note, copy)
    if note.duration <= 0 and not note.grace:
        return None
    if played is None:
        return None if note.chord or note.grace else Fragment("rest", _rest(note, measure, copy).xml)
    parts = [*_raw(where, note.element, "grace")]
    if note.chord and not headless:
        parts.append(tag("chord"))
    parts += _pitch(where, note, played)
    if not note.grace:
        parts.append(_duration(note, measure))
    parts += [*_raw(where, note.element, "tie"), tag("voice", copy.voices[note.voice])]
    parts += _raw(where, note.element, "type", "dot")
    sign = copy.signs.get(where[note.element].start)
    if sign:
        parts.append(tag("accidental", sign))
    parts += _raw(where, note.element, "time-modification")
    if copy.tab:
        parts.append(tag("stem", "none"))
    parts += [*_raw(where, note.element, "notehead"), tag("staff", copy.staff)]
    parts += (tag("beam", word, number=level) for level, word in enumerate(beams, 1))
    notations = _notations(where, note, played, copy)
    if notations:
        parts.append(tag("notations", *notations))
    made = tag("note", *parts)
    return Fragment("head" if note.chord and headless else "note", made.xml)


def _beams(measure: LocatedBar) -> dict[LocatedNote, tuple[str, ...]]:
    """The beams of a bar's notes, by beats; chord notes have none of their own."""
    beams: dict[LocatedNote, tuple[str, ...]] = {}
    for notes in measure.voices().values():
        heads = [note for note in notes if not (note.chord or note.grace)]
        for key, group in groupby(heads, _beat):
            beamed = list(group)
            if key is not None and len(beamed) > 1:
                beams.update(zip(beamed, beam_words([note.value for note in beamed]), strict=True))
    return beams


def _beat(note: LocatedNote) -> int | None:
    """The number of the beat that a note with flags begins in; None for rests and longer notes."""
    if note.rest or note.value not in FLAGS:
        return None
    return sum(start <= note.onset for start in beats(note.in_force.time))


def _pitch(where: Extents, note: LocatedNote, played: Note) -> Iterator[Fragment]:
    """The pitch that sounds; of a harmonic the one that the file writes, whichever of its pitches that is."""
    if note.has("harmonic", "artificial") and note.midi is not None and note.midi == note.sounding:
        yield from _raw(where, note.element, "pitch")
        return
    assert played.pitch is not None
    yield pitch_fragment(played.pitch)


def _rest(note: LocatedNote, measure: LocatedBar, copy: Copy) -> Fragment:
    hidden = {"print_object": "no"} if copy.tab else {}
    voice = tag("voice", copy.voices[note.voice])
    whole = {"measure": "yes"} if note.whole_bar else {}
    return tag(
        "note", tag("rest", **whole), _duration(note, measure), voice, tag("staff", copy.staff), **hidden
    )


def _duration(note: LocatedNote, measure: LocatedBar) -> Fragment:
    return tag("duration", decimal(note.duration * measure.divisions))


def _raw(where: Extents, element: etree._Element, *names: str) -> Iterator[Fragment]:
    """Children of these names, as they are written."""
    for name in names:
        for child in element.iterfind(name):
            yield _twin(where, child)


def _twin(where: Extents, element: etree._Element) -> Fragment:
    """An element as it is written, but for identities, of which a file has one each."""
    tags = [item for item in element.iter("*") if item.get("id") is not None]
    edits = [remove_attribute(where, item, "id") for item in tags]
    start = where[element].start
    moved = [Edit(Span(e.span.start - start, e.span.end - start), e.text) for e in edits]
    return Fragment(str(element.tag), applied(where.source(element), moved))


def _notations(where: Extents, note: LocatedNote, played: Note, copy: Copy) -> list[Fragment]:
    """Ties, joins and marks of playing; string and fret on tab only."""
    found: list[Fragment] = []
    technical: list[Fragment] = []
    for notations in note.element.iterfind("notations"):
        found += _raw(where, notations, "tied", *(() if copy.tab else _SEEN_IN_NOTATION))
        found += (_renumbered(child) for child in notations if child.tag in _JOINS)
        for child in notations.iterfind("technical/*"):
            if child.tag in ("hammer-on", "pull-off"):
                technical.append(_renumbered(child))
            elif isinstance(child.tag, str) and child.tag not in _PLACES:
                technical.append(_twin(where, child))
    if copy.tab:
        technical += (tag("string", str(played.string)), tag("fret", str(played.fret)))
        if played.finger and not note.finger:
            technical.append(tag("fingering", played.finger))
    if technical:
        found.append(tag("technical", *technical))
    return found


def _renumbered(element: etree._Element) -> Fragment:
    number = int(element.get("number") or 1)
    number += _NUMBERS_A_STAFF if number <= _NUMBERS_A_STAFF else 0
    text = (element.text.strip(),) if element.text and element.text.strip() else ()
    return tag(str(element.tag), *text, type=element.get("type") or "start", number=number)
