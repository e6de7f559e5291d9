"""The pictures of a lesson: its passages, its forms where they first come, and its whole necks."""

from __future__ import annotations

from tabtools.drawing.neck import Dot, neck_picture, printed_degree, role_of_degree
from tabtools.drawing.necks import first_pictures, string_names
from tabtools.drawing.shapes import Picture
from tabtools.forms.segments import Segment
from tabtools.record import NamedTuple
from tabtools.score import Part
from tabtools.sheet.lesson import Lesson, Passage
from tabtools.sheet.systems import Added, draw_passage
from tabtools.theory.line_of_fifths import degree_at, place, place_of_letter

WIDE, NARROW = 680.0, 330.0  # pixels: a column of A4 or Letter, and of a phone


class Look(NamedTuple):
    """How a sheet is to look: ``staves`` is one of `systems.STAVES`."""

    staves: str = "both"
    left_handed: bool = False
    reasons: bool = False


class Pictures(NamedTuple):
    """The systems of each passage, and the outlines of the glyphs in them."""

    systems: dict[Passage, tuple[Picture, ...]]
    glyphs: dict[str, str]


def draw_passages(lesson: Lesson, width: float, look: Look) -> Pictures:
    """Every passage of a lesson in systems of this width in pixels.

    Raises UnreadableError for music that the engraver can't take.
    """
    systems: dict[Passage, tuple[Picture, ...]] = {}
    glyphs: dict[str, str] = {}
    for passage in lesson.blocks:
        if isinstance(passage, Passage):
            part = lesson.score.parts[passage.part]
            added = Added(lesson.forms[passage.part], lesson.lyrics[passage.part])
            drawn = draw_passage(part, passage.first, passage.end, width, look.staves, added)
            systems[passage] = drawn.pictures
            glyphs.update(drawn.glyphs)
    return Pictures(systems, glyphs)


def forms_of(lesson: Lesson, look: Look) -> dict[Passage, list[tuple[str, Picture]]]:
    """The forms that first come in each passage, with their captions."""
    named: dict[Passage, list[tuple[str, Picture]]] = {}
    passages = [block for block in lesson.blocks if isinstance(block, Passage)]
    for segment, words, picture in first_pictures(
        lesson.score, lesson.segments, left_handed=look.left_handed
    ):
        passage = next((p for p in passages if _holds(lesson, p, segment)), None)
        if passage is not None:
            named.setdefault(passage, []).append((words, picture))
    return named


def _holds(lesson: Lesson, passage: Passage, segment: Segment) -> bool:
    bars = lesson.score.parts[passage.part].bars[passage.first : passage.end]
    return passage.part == segment.part and bars[0].number <= segment.notes[0].bar.number <= bars[-1].number


def whole_neck(part: Part, look: Look) -> Picture | None:
    """All places of a part on one neck with the degrees of its key, or with note names where it has none."""
    key = next((bar.key for bar in part.bars if bar.key), None)
    tonic = place(key.step, key.alter) if key else None
    dots: dict[tuple[int, int], Dot] = {}
    for note in (note for bar in part.bars for event in bar.events for note in event.notes):
        if note.string is None or note.fret is None or note.pitch is None:
            continue
        label, role = note.pitch.letter, "other"
        if tonic is not None:
            degree = degree_at(tonic, place_of_letter(note.pitch.letter))
            label, role = printed_degree(degree), role_of_degree(degree)
        dots.setdefault((note.string, note.fret), Dot(note.string, note.fret, label, role))
    if not dots or not part.instrument.tuning:
        return None
    notes = [dots[where] for where in sorted(dots) if where[0] <= len(part.instrument.tuning)]
    names, capo = string_names(part.instrument), part.instrument.capo
    return neck_picture(notes, names, left_handed=look.left_handed, capo=capo, barres=False)
