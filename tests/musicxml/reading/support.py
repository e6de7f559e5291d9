"""Small files as others might have written them, and what was read of them."""

from __future__ import annotations

from tabtools.document import Document
from tabtools.musicxml.reader import read_musicxml
from tabtools.score import Bar, Note

TUNING = "".join(
    f'<staff-tuning line="{line}"><tuning-step>{name[0]}</tuning-step>'
    f"<tuning-octave>{name[1]}</tuning-octave></staff-tuning>"
    for line, name in enumerate(("E2", "A2", "D3", "G3", "B3", "E4"), 1)
)

SHARP_NINE = (
    "<degree><degree-value>9</degree-value><degree-alter>1</degree-alter>"
    "<degree-type>add</degree-type></degree>"
)

TAB = f"<clef><sign>TAB</sign></clef><staff-details><staff-lines>6</staff-lines>{TUNING}</staff-details>"


def parsed(*measures: str, attributes: str = "", head: str = "", name: str = "Guitar") -> Document:
    """One part with the measures given by their content; the first gets divisions of 2."""
    first = f"<attributes><divisions>2</divisions>{attributes}</attributes>"
    content = "".join(
        f'<measure number="{number}">{"" if number > 1 else first}{inside}</measure>'
        for number, inside in enumerate(measures, 1)
    )
    parts = f'<part-list><score-part id="P1"><part-name>{name}</part-name></score-part></part-list>'
    return read_musicxml(
        "test.musicxml",
        f'<score-partwise>{head}{parts}<part id="P1">{content}</part></score-partwise>'.encode(),
    )


def tone(name: str, duration: int = 2, before: str = "", after: str = "") -> str:
    step, octave = name[0], name[-1]
    alter = "<alter>1</alter>" if "#" in name else ""
    pitch = f"<pitch><step>{step}</step>{alter}<octave>{octave}</octave></pitch>"
    return f"<note>{before}{pitch}<duration>{duration}</duration>{after}</note>"


def fretted(inside: str, string: int = 3, fret: int = 7) -> str:
    return (
        f"<notations>{inside}<technical><string>{string}</string><fret>{fret}</fret></technical></notations>"
    )


def bar_of(reading: Document, number: int = 1) -> Bar:
    return reading.score.parts[0].bars[number - 1]


def only_note(reading: Document) -> Note:
    (note,) = [note for event in bar_of(reading).events for note in event.notes]
    return note


def named(bar: Bar) -> list[list[str]]:
    return [[note.pitch.name for note in event.notes if note.pitch] for event in bar.events]
