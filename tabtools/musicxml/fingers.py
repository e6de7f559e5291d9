"""Strings, frets, fingers and chord frames into a MusicXML text, everything else left as it stands."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from tabtools.document import Document
from tabtools.record import NamedTuple
from tabtools.score import Event, Harmony, Note, Score
from tabtools.source import Span

_HIDDEN = re.compile(r"<!--.*?-->|<!\[CDATA\[.*?\]\]>", re.DOTALL)
_OLD = re.compile(r"\s*<(string|fret|fingering)\b[^>]*?(?:/>|>.*?</\1\s*>)", re.DOTALL)
# What may stand behind the place of the new child (MusicXML 4.0 XSD: note, harmony).
_AFTER_NOTATIONS = re.compile(r"<(?:lyric|play|listen)\b|</note\s*>")
_AFTER_FRAME = re.compile(r"<(?:offset|footnote|level|staff)\b|</harmony\s*>")
_FEWEST_IN_FRAME = 3
_FRAME_FRETS = 4


class _Edit(NamedTuple):
    span: Span
    text: str


def with_fingers(document: Document, score: Score) -> str:
    """The text of a MusicXML document with what ``score`` says more about string, fret and finger.

    ``score`` is the document's own with these filled in: its spans say where the notes stand. A chord symbol
    over a chord of three notes or more gets a frame, unless it has one.
    """
    text = document.source.text
    edits = sorted({*_notes(text, document.score, score), *_frames(text, score)}, key=lambda e: e.span.start)
    result, done = [], 0
    for edit in edits:
        if edit.span.start >= done:
            result += [text[done : edit.span.start], edit.text]
            done = edit.span.end
    return "".join((*result, text[done:]))


def _notes(text: str, before: Score, after: Score) -> Iterator[_Edit]:
    for old, new in zip(_all_notes(before), _all_notes(after), strict=True):
        if new.span is None or old == new:
            continue
        element = text[new.span.start : new.span.end]
        moved = (old.string, old.fret) != (new.string, new.fret)
        added = _technical(new, moved=moved, fingered=old.finger != new.finger)
        if added:
            bare = _without_old(element, moved=moved, fingered=old.finger != new.finger)
            yield _Edit(new.span, _put(bare, added))


def _all_notes(score: Score) -> Iterator[Note]:
    for part in score.parts:
        for bar in part.bars:
            for event in bar.events:
                yield from event.notes


def _technical(note: Note, *, moved: bool, fingered: bool) -> str:
    parts = []
    if fingered and note.finger:
        parts.append(f"<fingering>{note.finger}</fingering>")
    if moved:
        parts.append(f"<string>{note.string}</string><fret>{note.fret}</fret>")
    return "".join(parts)


def _without_old(element: str, *, moved: bool, fingered: bool) -> str:
    names = (("string", "fret") if moved else ()) + (("fingering",) if fingered else ())
    return _OLD.sub(lambda match: "" if match[1] in names else match[0], element)


def _put(element: str, technical: str) -> str:
    """A note element with more in its ``technical``, which is made where there is none."""
    visible = _masked(element)
    for name, wrapped in (("technical", technical), ("notations", f"<technical>{technical}</technical>")):
        empty = re.search(rf"<{name}\b([^>]*)/>", visible)
        if empty:
            return _replaced(element, empty.span(), f"<{name}{empty[1].rstrip()}>{wrapped}</{name}>")
        end = re.search(rf"</{name}\s*>", visible)
        if end:
            return _inserted(element, end.start(), wrapped)
    place = _AFTER_NOTATIONS.search(visible)
    assert place is not None, "a note element ends"
    return _inserted(element, place.start(), f"<notations><technical>{technical}</technical></notations>")


def _masked(element: str) -> str:
    """The element with comments blanked out, so that nothing is found in them."""
    return _HIDDEN.sub(lambda match: " " * len(match[0]), element)


def _replaced(text: str, place: tuple[int, int], new: str) -> str:
    return text[: place[0]] + new + text[place[1] :]


def _inserted(text: str, at: int, new: str) -> str:
    """``new`` before what stands at an offset; on a line of its own where that does."""
    line = text.rfind("\n", 0, at) + 1
    indent = text[line:at]
    if line and not indent.strip():
        closing = text.startswith("</", at)
        new = f"{indent}{'  ' if closing else ''}{new}\n"
        return text[:line] + new + text[line:]
    return text[:at] + new + text[at:]


def _frames(text: str, score: Score) -> Iterator[_Edit]:
    for part in score.parts:
        strings = len(part.instrument.tuning)
        for bar in part.bars:
            for harmony in bar.harmonies:
                notes = _struck_with(harmony, bar.events)
                if harmony.span is None or len(notes) < _FEWEST_IN_FRAME:
                    continue
                element = text[harmony.span.start : harmony.span.end]
                place = _AFTER_FRAME.search(_masked(element))
                if place and "<frame" not in _masked(element):
                    yield _Edit(harmony.span, _inserted(element, place.start(), _frame(notes, strings)))


def _struck_with(harmony: Harmony, events: Iterable[Event]) -> list[Note]:
    return [
        note
        for event in events
        if event.onset == harmony.onset and not event.grace
        for note in event.notes
        if note.string is not None and note.fret is not None
    ]


def _frame(notes: list[Note], strings: int) -> str:
    """A chord diagram; a finger on several strings is a barre, from the last string to the first."""
    held = sorted(notes, key=lambda note: -(note.string or 0))
    frets = [note.fret for note in held if note.fret]
    first = min(frets, default=1) if max(frets, default=0) > _FRAME_FRETS else 1
    size = max(_FRAME_FRETS, max(frets, default=0) - first + 1)
    head = f"<frame-strings>{strings}</frame-strings><frame-frets>{size}</frame-frets>"
    if first > 1:
        head += f"<first-fret>{first}</first-fret>"
    return f"<frame>{head}{''.join(_frame_note(note, held) for note in held)}</frame>"


def _frame_note(note: Note, held: list[Note]) -> str:
    same = [other for other in held if note.fret and note.finger and other.finger == note.finger]
    text = f"<string>{note.string}</string><fret>{note.fret}</fret>"
    if note.fret and note.finger:
        text += f"<fingering>{note.finger}</fingering>"
    if len(same) > 1 and note in (same[0], same[-1]):
        text += f'<barre type="{"start" if note is same[0] else "stop"}"/>'
    return f"<frame-note>{text}</frame-note>"
