"""Necks for forms, boxes, chords and phrases: what the form finder says, as dots."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from tabtools.drawing.neck import Dot, neck_picture, printed_degree, role_of_degree
from tabtools.drawing.shapes import FONTS, Picture, Shape, text
from tabtools.drawing.widths import text_width
from tabtools.fingering.hand import grips
from tabtools.forms.boxes import scale_box
from tabtools.forms.nearest import NearForm
from tabtools.forms.neck import neck
from tabtools.forms.palette import Palette
from tabtools.forms.places import form_grip
from tabtools.forms.segments import Reading, Segment
from tabtools.forms.words import reading_words, segment_words
from tabtools.score import Instrument, Score
from tabtools.theory.scale import SCALES, scale_notes

_GAP = 24.0
_CAPTION, _EDGE = 20.0, 8.0


def string_names(instrument: Instrument) -> tuple[str, ...]:
    """The open strings' letters, string 1 first, as they are tuned without capo."""
    return tuple(pitch.letter for pitch in instrument.tuning)


def form_picture(instrument: Instrument, reading: Reading, *, left_handed: bool = False) -> Picture | None:
    """A form on the neck, each note with its degree and a finger that can hold it; None where a string tuned
    apart leaves the form no grip."""
    grip = form_grip(neck(instrument), reading.form, reading.quality, reading.anchor_fret)
    if grip is None:
        return None
    places = {string: fret for string, fret, _ in grip.notes}
    fingers = _fingers(instrument, places)
    dots = [
        Dot(string, fret, printed_degree(degree), role_of_degree(degree), fingers.get(string))
        for string, fret, degree in grip.notes
    ]
    silent = [string for string in range(1, len(instrument.tuning) + 1) if string not in places]
    return neck_picture(
        dots, string_names(instrument), muted=silent, left_handed=left_handed, capo=instrument.capo
    )


def _fingers(instrument: Instrument, places: dict[int, int]) -> dict[int, str]:
    """The fingers of the grip with the least effort, by string; none where no hand holds it."""
    held = next(iter(grips(instrument, places.items())), None)
    if held is None or held.excess:
        return {}
    return {string: str(press.finger) for press in held.presses for string in press.strings}


def box_picture(instrument: Instrument, segment: Segment, *, left_handed: bool = False) -> Picture | None:
    """The pentatonic box of a segment with its degrees; None for a segment without one."""
    if segment.box is None:
        return None
    major = segment.reading == segment.box.major
    tonic = segment.box.major_root if major else segment.box.minor_root
    name = "major pentatonic" if major else "minor pentatonic"
    degrees = dict(zip(scale_notes(tonic, name), SCALES[name].degrees, strict=True))
    dots = [
        Dot(string, fret, printed_degree(degrees[note]), role_of_degree(degrees[note]))
        for string, places in scale_box(neck(instrument), tonic, name, *segment.frets)
        for fret, note in places
    ]
    return neck_picture(
        dots, string_names(instrument), left_handed=left_handed, capo=instrument.capo, barres=False
    )


def segment_picture(instrument: Instrument, segment: Segment, *, left_handed: bool = False) -> Picture | None:
    """The box or the form that a segment comes from; None for a run, which comes from neither."""
    if segment.box is not None:
        return box_picture(instrument, segment, left_handed=left_handed)
    if segment.reading is not None:
        return form_picture(instrument, segment.reading, left_handed=left_handed)
    return None


def first_pictures(
    score: Score, segments: Iterable[Segment], *, left_handed: bool = False
) -> Iterator[tuple[Segment, str, Picture]]:
    """Each form and box where it first comes: the segment, what it is called, and its neck."""
    shown: set[tuple[object, ...]] = set()
    for segment in segments:
        reading, words = segment.reading, segment_words(segment)
        box = segment.box and (segment.box.number, segment.frets)
        place = (segment.part, reading, box)
        if reading is None or place in shown:
            continue
        shown.add(place)
        picture = segment_picture(score.parts[segment.part].instrument, segment, left_handed=left_handed)
        if picture is not None:
            chord = f"{reading.symbol}: " if segment.box is None else ""
            yield segment, chord + words, picture


def near_pictures(instrument: Instrument, near: Iterable[NearForm]) -> Iterator[tuple[str, Picture]]:
    """The forms near a fret, each with its caption."""
    for form in near:
        reading = Reading(form.form, form.quality, "", form.anchor_fret)
        picture = form_picture(instrument, reading)
        if picture is not None:
            away = f"{form.distance} fret{'' if form.distance == 1 else 's'} away"
            yield f"{form.symbol}: {reading_words(reading, form.position)}, {away}", picture


def palette_picture(instrument: Instrument, colours: Palette) -> Picture:
    """The notes that chords bring to a scale, near the hand: each place with the note's name."""
    dots = [
        Dot(
            string, fret, colour.note.replace("b", "\N{MUSIC FLAT SIGN}").replace("#", "\N{MUSIC SHARP SIGN}")
        )
        for colour in colours.colours
        for string, fret in colour.places
    ]
    return neck_picture(dots, string_names(instrument), capo=instrument.capo)


def gallery(captioned: Sequence[tuple[str, Picture]], columns: int = 2) -> Picture:
    """Pictures side by side, each under its caption, in rows of ``columns``."""
    cell = max(
        [picture.width for _, picture in captioned]
        + [text_width(words, FONTS["caption"].size) + 2 * _EDGE for words, _ in captioned]
    )
    shapes: list[Shape] = []
    top = 0.0
    for start in range(0, len(captioned), columns):
        row = captioned[start : start + columns]
        for place, (words, picture) in enumerate(row):
            left = place * (cell + _GAP)
            shapes.append(text(left + _EDGE, top + 14, words, "caption"))
            shapes += (shape.moved(left, top + _CAPTION) for shape in picture.shapes)
        top += _CAPTION + max(picture.height for _, picture in row) + _GAP / 2
    width = min(columns, len(captioned)) * (cell + _GAP) - _GAP
    return Picture(tuple(shapes), width, top)
