"""A moved phrase written into its own page of text tab: words, layout and header go along."""

from __future__ import annotations

from collections.abc import Iterator

from tabtools.phrases.prose import header_lines, speaking_lines
from tabtools.phrases.wish import Moved, Told
from tabtools.record import NamedTuple
from tabtools.score import Event, Instrument, Note, Score
from tabtools.source import Source
from tabtools.techniques import BENDS
from tabtools.text.read import ReadPage
from tabtools.text.reader import score_of
from tabtools.text.systems import read_page
from tabtools.text.writing.format import in_order
from tabtools.text.writing.laying import SURE, Recast
from tabtools.text.writing.recasting import recast_text
from tabtools.text.writing.tunings import row_labels


class Written(NamedTuple):
    """The new text, or None with the reasons; ``told`` is what the reader of the page should look at."""

    text: str | None
    refused: tuple[Told, ...] = ()
    told: tuple[Told, ...] = ()


def written(source: Source, before: Score, moved: Moved) -> Written:
    """The text of a page with the music of a move. ``before`` is its score as it was read.

    The result is read again and must hold the very music that is meant, with no doubt more than before;
    otherwise it is refused.
    """
    read = read_page(source)
    after = moved.score
    prose = [line.line for line in read.page.prose]
    lines = header_lines(prose, before, after)
    if isinstance(lines, str):
        return Written(None, (Told(0, 0, lines),))
    recast = Recast(
        dict(_cells(read, before, after)),
        dict(_words(before, after)),
        lines,
        _labels(before, after),
        _fingered(after) or not _fingered(before),
    )
    doubts, unsure = _doubts(read), _unsure(before)
    meant = _said(after, unsure)

    def reads(page: ReadPage) -> bool:
        return _said(score_of(page), unsure) == meant and _doubts(page) <= doubts

    text = recast_text(source, read, recast, reads)
    if isinstance(text, tuple):
        reasons = (Told(0, 0, f"line {line}: {why}" if line else why) for line, why in text)
        return Written(None, tuple(reasons))
    told = list(speaking_lines(prose))
    if _fingered(before) and not recast.fingers:
        told.append("the rows of fingers are left out: tabtools finger writes new ones")
    return Written(text, (), tuple(Told(0, 0, words) for words in told))


def _pairs(before: Score, after: Score) -> Iterator[tuple[Note, Note]]:
    """Each note with what becomes of it; an event's notes are paired by their spans."""
    for old_part, new_part in zip(before.parts, after.parts, strict=True):
        for old_bar, new_bar in zip(old_part.bars, new_part.bars, strict=True):
            for old, new in zip(old_bar.events, new_bar.events, strict=True):
                after_at = {note.span: note for note in new.notes}
                yield from ((note, after_at[note.span]) for note in old.notes if note.span)


def _cells(read: ReadPage, before: Score, after: Score) -> Iterator[tuple[int, tuple[int, dict[str, str]]]]:
    """For the offset of each note its new row, and the numbers at it that change."""
    rows = _rows(read, after)
    for old, new in _pairs(before, after):
        assert old.span is not None, "only notes with a span are paired"
        assert new.string is not None, "text tab has no note without a string"
        numbers = dict(_numbers(old, new))
        order = rows[old.span.start]
        yield old.span.start, (order.index(new.string), numbers)


def _rows(read: ReadPage, after: Score) -> dict[int, tuple[int, ...]]:
    """For the offset of each note the strings of the rows of its system, top row first."""
    found: dict[int, tuple[int, ...]] = {}
    for part, systems in zip(after.parts, read.parts, strict=True):
        for system in systems:
            order = _order(system.strings.numbers, part.instrument)
            for bar in system.bars:
                for column in bar.columns:
                    for note in column.notes:
                        line = system.system.rows[note.row].line
                        found[line.span(note.start, note.end).start] = order
    return found


def _order(numbers: tuple[int, ...], instrument: Instrument) -> tuple[int, ...]:
    strings = tuple(range(1, len(instrument.tuning) + 1))
    if set(numbers) == set(strings):
        return numbers
    return strings[::-1] if numbers[0] > numbers[-1] else strings


def _numbers(old: Note, new: Note) -> Iterator[tuple[str, str]]:
    """The fret, and what of it stands behind it: the target of a bend or trill, the fret of a release."""
    if old.fret is None or new.fret is None or old.fret == new.fret:
        return
    by = new.fret - old.fret
    for technique in old.techniques:
        if technique.value is not None and technique.value.denominator == 1:
            size = technique.value.numerator
            target = size if technique.name == "trill" else old.fret + size
            if technique.name == "trill" or technique.name in BENDS:
                yield str(target), str(target + by)
    yield str(old.fret), str(new.fret)


def _words(before: Score, after: Score) -> Iterator[tuple[int, str]]:
    """Chord symbols and words over the notes that change, by offset."""
    for old_part, new_part in zip(before.parts, after.parts, strict=True):
        for old, new in zip(old_part.bars, new_part.bars, strict=True):
            for one, other in zip(old.harmonies, new.harmonies, strict=True):
                if one.span and one.symbol != other.symbol:
                    yield one.span.start, other.symbol
            for said, says in zip(old.words, new.words, strict=True):
                if said.span and said.text != says.text:
                    yield said.span.start, says.text


def _labels(before: Score, after: Score) -> tuple[str, ...]:
    """The labels of other strings; none where all parts keep theirs."""
    tunings = {part.instrument.tuning for part in after.parts}
    if {part.instrument.tuning for part in before.parts} == tunings or len(tunings) != 1:
        return ()
    return tuple(row_labels(after.parts[0].instrument))


def _fingered(score: Score) -> bool:
    return any(
        note.finger
        for part in score.parts
        for bar in part.bars
        for event in bar.events
        for note in event.notes
    )


def _doubts(read: ReadPage) -> int:
    return len(read.doubts) + sum(len(system.doubts) for system in in_order(read))


def _unsure(score: Score) -> frozenset[int]:
    """The numbers of the bars whose rhythm the columns only suggest: other numbers suggest another one."""
    return frozenset(
        bar.number
        for part in score.parts
        for bar in part.bars
        for event in bar.events
        for fact in event.inferred
        if fact.confidence < SURE
    )


def _said(score: Score, unsure: frozenset[int]) -> object:
    """All that a page must say after the move: times where they are sure, strings, frets, sound, techniques,
    chords, words."""
    return [
        (
            part.instrument.tuning,
            part.instrument.capo,
            [
                (
                    (bar.time, bar.key, bar.section, bar.tempo and bar.tempo[:2], bar.pickup, bar.feel),
                    (bar.repeat_start, bar.repeat_times, bar.endings),
                    [_event(event, timed=bar.number not in unsure) for event in bar.events],
                    [harmony[bar.number in unsure : 2] for harmony in bar.harmonies],
                    [words[bar.number in unsure : 2] for words in bar.words],
                )
                for bar in part.bars
            ],
        )
        for part in score.parts
    ] + [score.title, score.composer]


def _event(event: Event, *, timed: bool) -> object:
    notes = [
        (note.string, note.fret, note.pitch and note.pitch.midi, note.techniques, note.finger, note.tied)
        for note in sorted(event.notes, key=lambda note: note.string or 0)
    ]
    return (event.onset, event.duration) if timed else (), event.grace, notes
