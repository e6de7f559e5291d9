"""What stands under the cursor: a note with its part in the chord, a chord, the name of a rule."""

from __future__ import annotations

import re
from collections.abc import Callable

from tabtools.editor.page import OpenPage
from tabtools.score import Instrument, Note, Part
from tabtools.theory.chord import parse_chord, role
from tabtools.timeline import moments

_RULE = re.compile(r"[a-z]+(?:-[a-z]+)+|[a-z]{6,}")


def words_at(page: OpenPage, offset: int, rule: Callable[[str], str | None]) -> str | None:
    """What to say about the place ``offset``; ``rule`` gives the text about a rule of a name."""
    document = page.document()
    if document is None:
        return None
    place = page.in_document(offset)
    for part in document.score.parts:
        said = _note(part, place) or _chord(part, place)
        if said:
            return said
    line, column = page.source.position(min(offset, len(page.source.text)))
    text = page.source.line(line)
    if "tabtools:" not in text.lower():
        return None
    word = next((m.group() for m in _RULE.finditer(text) if m.start() < column <= m.end() + 1), None)
    return rule(word) if word else None


def _note(part: Part, place: int) -> str | None:
    for moment in moments(part):
        for sound in moment.struck:
            span = sound.note.span
            if span is not None and span.start <= place < max(span.end, span.start + 1):
                symbol = moment.harmony.symbol if moment.harmony else None
                return _said(sound.note, symbol, moment.instrument)
    return None


def _said(note: Note, symbol: str | None, instrument: Instrument) -> str:
    """As in ``F#4: string 2, fret 7. The third of D. Also string 3, fret 11``."""
    if note.pitch is None:
        return f"a damped note on string {note.string}"
    sentences = [f"{note.pitch.name}: string {note.string}, fret {note.fret}"]
    chord = parse_chord(symbol) if symbol else None
    part_in_chord = role(chord, note.pitch.midi % 12) if chord else None
    if symbol:
        sentences.append(f"the {part_in_chord} of {symbol}" if part_in_chord else f"not in {symbol}")
    if note.finger:
        sentences.append(f"finger {note.finger}")
    elsewhere = [
        f"string {string}, fret {fret}"
        for string, pitch in enumerate(instrument.tuning, 1)
        if string != note.string
        and 0 <= (fret := note.pitch.midi - pitch.midi - instrument.capo) <= (instrument.frets or 24)
    ]
    if elsewhere:
        sentences.append("also " + "; ".join(elsewhere))
    return ". ".join(sentence[:1].upper() + sentence[1:] for sentence in sentences)


def _chord(part: Part, place: int) -> str | None:
    for bar in part.bars:
        for harmony in bar.harmonies:
            span = harmony.span
            if span is not None and span.start <= place < span.end:
                chord = parse_chord(harmony.symbol)
                if chord is None:
                    return f"{harmony.symbol} is no chord symbol that we know"
                return f"{harmony.symbol}: {' '.join(chord.quality.degrees)}"
    return None
