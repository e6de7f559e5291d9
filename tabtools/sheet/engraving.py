"""What the engraver is given: notation alone, ids on the notes, as much room as tab and chords need."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from math import ceil
from xml.etree import ElementTree

from tabtools.drawing.bends import column_bend_width
from tabtools.drawing.frets import fret_width
from tabtools.drawing.joins import in_time
from tabtools.drawing.shapes import FONTS
from tabtools.drawing.widths import text_width
from tabtools.musicxml.writer import write_musicxml
from tabtools.musicxml.writing.attributes import notation_clef
from tabtools.record import NamedTuple
from tabtools.score import Bar, Event, Instrument, Note, Part, Quarters, Score, Technique
from tabtools.theory.spelling import spell

# What the notation shows of how a note is played; all else stands at the tab.
_SHOWN = frozenset({"dead", "ghost", "hammer", "pull", "slide", "tie", "trill", "tremolo", "grace"})
_GAP = 4.0
_SLACK = 10.5  # verovio lets a syllable use so much free room before it
GRACE_ROOM = 14.0  # from the number of a grace note to that of its note
# A syllable of letters of this width in pixels keeps notes apart (`notation` sets the size that makes it so).
_LETTER, LETTER_WIDTH = "i", 1.95


# Words that are sung, by the place of their bar from 0: verse from 0, onset, and the word.
Sung = Mapping[int, Sequence[tuple[int, Quarters, str]]]
NOT_SUNG: Sung = {}


class Cut(NamedTuple):
    """What a stretch of a part lacks at its ends: ``begins`` and ``ends`` are those of the part."""

    begins: bool = True
    ends: bool = True


def engraver_input(part: Part, cut: Cut, sung: Sung = NOT_SUNG) -> str:
    """A stretch of a part as MusicXML for the engraver.

    A note's id is ``n0.`` with bar, event and note. Syllables that are never shown hold notes apart: the
    engraver moves notes for words, not for what it does not know.
    """
    bars = tuple(_plain_bar(bar, bar.instrument or part.instrument) for bar in part.bars)
    plain = part._replace(name="", bars=bars)
    root = ElementTree.fromstring(write_musicxml(Score((plain,)), ids=True))
    for name in root.iter("part-name"):
        name.text = ""
    _put_clef(root, part)
    notes = {note.get("id", ""): note for note in root.iter("note")}
    for index, bar in enumerate(part.bars):
        for event, verse, width in (*_numbers(bar), *_symbols(bar), *_syllables(bar, sung.get(index, ()))):
            note = notes.get(f"n0.{index}.{event}.0")
            if note is not None:
                _put_syllable(note, verse, width)
    _mend_ends(root, cut)
    return ElementTree.tostring(root, encoding="unicode")


def _mend_ends(root: ElementTree.Element, cut: Cut) -> None:
    """In the middle of a part no metre is printed anew, and the last bar line is a double one."""
    time = root.find("part/measure/attributes/time")
    if not cut.begins and time is not None:
        time.set("print-object", "no")
    barline = root.find("part/measure[last()]/barline[@location='right']")
    if not cut.ends and barline is not None and barline.find("repeat") is None:
        for style in barline.iter("bar-style"):
            style.text = "light-light"


def _put_clef(root: ElementTree.Element, part: Part) -> None:
    """The clef of the instrument, so that all passages have the same, whatever the range of each."""
    attributes, clef = root.find("part/measure/attributes"), root.find("part/measure/attributes/clef")
    if attributes is not None and clef is not None and part.instrument.tuning:
        usual = ElementTree.fromstring(notation_clef(part, tab=True).xml)
        del usual.attrib["number"]
        attributes[list(attributes).index(clef)] = usual


def _put_syllable(note: ElementTree.Element, verse: int, width: float) -> None:
    lyric = ElementTree.SubElement(note, "lyric", number=str(verse))
    ElementTree.SubElement(lyric, "syllabic").text = "single"
    ElementTree.SubElement(lyric, "text").text = _LETTER * ceil(width / LETTER_WIDTH)


def _plain_bar(bar: Bar, instrument: Instrument) -> Bar:
    """A bar without all that we draw ourselves."""
    events = tuple(_plain_event(event, bar, instrument) for event in bar.events)
    return bar._replace(
        events=events,
        harmonies=(),
        words=(),
        section=None,
        tempo=None,
        endings=(),
        repeat_times=2 if bar.repeat_times else 0,
        navigation=(),
    )


def _plain_event(event: Event, bar: Bar, instrument: Instrument) -> Event:
    return event._replace(notes=tuple(_plain_note(note, bar, instrument) for note in event.notes))


def _plain_note(note: Note, bar: Bar, instrument: Instrument) -> Note:
    techniques = [technique for technique in note.techniques if technique.name in _SHOWN]
    pitch = note.pitch
    if pitch is None:
        techniques.append(Technique("dead"))
        if note.string is not None and 1 <= note.string <= len(instrument.tuning):
            pitch = spell(instrument.midi(note.string, note.fret or 0), bar.key)
    return note._replace(string=None, fret=None, finger=None, pitch=pitch, techniques=tuple(techniques))


def _numbers(bar: Bar) -> Iterator[tuple[int, int, float]]:
    """How far each moment must be from the next one for the numbers of its tab: event, verse, pixels."""
    moments = [*_moments(bar), [(len(bar.events), Event(bar.length, bar.length))]]
    for struck, following in pairwise(moments):
        if struck[0][1].grace:
            continue  # verovio 6.4 loses a page's heights over words at some grace notes
        right = max(_right(event) for _, event in struck)
        yield struck[0][0], 1, right + max(_left(event) for _, event in following) + _GAP


def _moments(bar: Bar) -> list[list[tuple[int, Event]]]:
    """The events of a bar that begin together, each with its place; a grace event is alone."""
    moments: list[list[tuple[int, Event]]] = []
    for index in in_time(bar):
        event = bar.events[index]
        if not event.notes:
            continue
        before = moments[-1][0][1] if moments else None
        if before is None or before.grace or event.grace or before.onset != event.onset:
            moments.append([])
        moments[-1].append((index, event))
    return moments


def _right(event: Event) -> float:
    widths = [fret_width(note) / 2 for note in event.notes if note.string is not None]
    slides = [fret_width(note) / 2 + 7 for note in event.notes if note.has("slide-out")]
    return max([5.0, *widths, column_bend_width(event.notes), *slides])


def _left(event: Event) -> float:
    """Also room to see a join: the letter of a hammer-on, the slope of a slide."""
    widths = [fret_width(note) / 2 for note in event.notes if note.string is not None]
    joined = any(note.has("hammer", "pull", "slide", "slide-in") for note in event.notes)
    return max([5.0, *widths]) + (7 if joined else 0) + (GRACE_ROOM / 2 if event.grace else 0)


def _symbols(bar: Bar) -> Iterator[tuple[int, int, float]]:
    """The room that a chord symbol takes, at the event over which it stands."""
    places = {event.onset: index for index, event in reversed([*enumerate(bar.events)]) if event.notes}
    size = FONTS["chord"].size
    for harmony in bar.harmonies:
        if harmony.onset in places:
            yield places[harmony.onset], 2, text_width(harmony.symbol, size, bold=True) + _GAP + _SLACK


def _syllables(bar: Bar, sung: Sequence[tuple[int, Quarters, str]]) -> Iterator[tuple[int, int, float]]:
    """The room that sung words take, each at its event."""
    places = {event.onset: index for index, event in reversed([*enumerate(bar.events)]) if event.notes}
    for verse, onset, words in sung:
        if onset in places:
            yield places[onset], 3 + verse, text_width(words, FONTS["lyric"].size) + _GAP + _SLACK
