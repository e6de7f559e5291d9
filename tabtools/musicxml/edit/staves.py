"""The staff that a part lacks, put into the file: tab below a notation staff, notation above a tab staff.

What the file holds stays as it is; each bar gets its music once more, at its end, for the new staff.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from lxml import etree

from tabtools.musicxml.clean.pitches import named
from tabtools.musicxml.edit.copies import Copy, copied
from tabtools.musicxml.edit.insert import (
    insert,
    insert_after,
    insert_at,
    insert_before,
    set_attribute,
    set_text,
)
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.located import Located, LocatedNote, LocatedPart
from tabtools.musicxml.writing.accidentals import accidentals
from tabtools.musicxml.writing.attributes import notation_clef, staff_details, tab_clef
from tabtools.musicxml.writing.fragment import Fragment, tag
from tabtools.musicxml.writing.notes import pitch_fragment
from tabtools.record import NamedTuple
from tabtools.score import Note, Part, Score
from tabtools.source import Edit

# Readers expect four voices a staff.
_VOICES_A_STAFF = 4


class _Music(NamedTuple):
    """A score's notes, the accidentals they need, and their parts, by where their elements start."""

    notes: Mapping[int, Note]
    signs: Mapping[int, str]
    parts: Mapping[int, Part]


def both_staves(located: Located, score: Score) -> Iterator[Edit]:
    """The edits that give every part that has strings a notation and a tab staff.

    ``score`` is the file's own music, with strings and frets for the notes that are to stand on tab; notes
    without are hidden rests there. Parts without any get no tab, and neither does a part whose tab is the
    next part of the file.
    """
    where, music = located.extents, _music(score)
    for part in located.parts:
        yield from _pitches(where, part)
        known = [note for note in part.notes if where[note.element].start in music.notes]
        played = [note for note in known if music.notes[where[note.element].start].string is not None]
        if not played:
            continue
        heard = music.parts[where[played[0].element].start]
        # Of two elements put in at one place the first one given comes first: <staff> before <notations>.
        if not part.tab:
            yield from _second_staff(where, part, music, heard, tab=True)
        elif all(note.in_force.tab for note in part.notes):
            yield from _second_staff(where, part, music, heard, tab=False)
        yield from _places(where, part, music)


def _pitches(where: Extents, part: LocatedPart) -> Iterator[Edit]:
    """A pitch for every tab note that has string and fret only and is not dead."""
    for note in part.notes:
        unpitched = note.element.find("unpitched") if note.unpitched else None
        if unpitched is not None and note.fretted is not None and not note.has("dead"):
            yield Edit(where[unpitched].span, pitch_fragment(named(note, note.fretted)).xml)


def _music(score: Score) -> _Music:
    notes: dict[int, Note] = {}
    signs: dict[int, str] = {}
    parts: dict[int, Part] = {}
    for part in score.parts:
        for bar in part.bars:
            shown = accidentals(bar)
            for place, event in enumerate(bar.events):
                for number, note in enumerate(event.notes):
                    if note.span is not None:
                        notes[note.span.start], parts[note.span.start] = note, part
                        if (place, number) in shown:
                            signs[note.span.start] = shown[place, number]
    return _Music(notes, signs, parts)


def _places(where: Extents, part: LocatedPart, music: _Music) -> Iterator[Edit]:
    """String, fret and finger for the notes on a tab staff that lack them."""
    for noted in part.notes:
        note = music.notes.get(where[noted.element].start)
        if note is None or not noted.in_force.tab:
            continue
        if noted.string is None and note.string is not None and note.fret is not None:
            missing = [tag("string", note.string), tag("fret", note.fret)]
            if note.finger and not noted.finger:
                missing.append(tag("fingering", note.finger))
            yield from insert_at(where, noted.element, "notations/technical", *missing)


def _second_staff(
    where: Extents, part: LocatedPart, music: _Music, heard: Part, *, tab: bool
) -> Iterator[Edit]:
    """All edits that give a part a tab staff below its own, or a notation staff above."""
    new = part.staves + 1 if tab else 1
    copy = Copy(new, tab, _voices(part), music.notes, {} if tab else music.signs)
    yield from _attributes(where, part, new, tab)
    yield from _opening(where, part, heard, new, tab)
    for measure in part.bars:
        for note in measure.notes:
            yield from _own_staff(where, note, part, tab)
        added = copied(where, measure, copy)
        if added:
            yield insert_after(where, _last(measure.content), *added)


def _last(measure: etree._Element) -> etree._Element:
    """The last element of a bar but for its closing bar line."""
    return [child for child in measure if child.tag in ("note", "backup", "forward")][-1]


def _voices(part: LocatedPart) -> dict[str, str]:
    """The voices of the copies: as many above the highest as a staff has."""
    names = sorted({note.voice for note in part.notes}, key=lambda voice: (len(voice), voice))
    highest = max((int(name) for name in names if name.isdecimal()), default=0)
    base = max(_VOICES_A_STAFF, highest)
    return {name: str(base + rank) for rank, name in enumerate(names, 1)}


def _own_staff(where: Extents, note: LocatedNote, part: LocatedPart, tab: bool) -> list[Edit]:
    """The number of the staff that a note already stands on: 1, or 2 for tab that gets notation above it."""
    staff, number = note.element.find("staff"), "1" if tab else "2"
    if staff is None and part.staves == 1:
        return insert(where, note.element, tag("staff", number))
    return [set_text(where, staff, number)] if staff is not None and not tab else []


def _opening(where: Extents, part: LocatedPart, heard: Part, new: int, tab: bool) -> list[Edit]:
    """The new staff in the attributes that the part begins with."""
    first = part.bars[0].content
    made = [tab_clef(new), staff_details(heard.instrument, new)] if tab else [notation_clef(heard, True)]
    staves = tag("staves", part.staves + 1)
    attributes = first.find("attributes")
    if attributes is None:
        fragment = tag("attributes", staves, *made)
        return [insert_before(where, first[0], fragment)] if len(first) else insert(where, first, fragment)
    given = attributes.find("staves")
    if given is not None:
        return [set_text(where, given, str(part.staves + 1)), *insert(where, attributes, *made)]
    return insert(where, attributes, staves, *made)


def _attributes(where: Extents, part: LocatedPart, new: int, tab: bool) -> Iterator[Edit]:
    """Keys, metres and transpositions for one staff become those of each staff that they are meant for."""
    if part.staves > 1:
        return
    own = "1" if tab else "2"
    for measure in part.bars:
        for element in measure.content.iterfind("attributes/*"):
            if element.tag in ("key", "time"):
                yield from _for_both(where, element, own, new, tab)
            elif _is_for_own_staff(element, tab):
                yield set_attribute(where, element, "number", own)


def _is_for_own_staff(element: etree._Element, tab: bool) -> bool:
    """Whether an element of the attributes must now say that it is for the staff that was the only one."""
    if element.tag == "transpose":
        return element.get("number") is None
    return element.tag in ("clef", "staff-details") and not tab


def _for_both(where: Extents, element: etree._Element, own: str, new: int, tab: bool) -> Iterator[Edit]:
    """A key or metre for the staff it was written for, and the same for the new one, unseen on tab."""
    if element.get("number") is not None:
        return
    inside = where.text[where[element].inner : where[element].outer]
    unseen = ' print-object="no"' if tab else ""
    made = Fragment(str(element.tag), f'<{element.tag} number="{new}"{unseen}>{inside}</{element.tag}>')
    yield set_attribute(where, element, "number", own)
    if tab:
        yield insert_after(where, element, made)
        return
    if element.get("print-object") is None:
        yield set_attribute(where, element, "print-object", "no")
    yield insert_before(where, element, made)
