"""What is on a sheet, in the lesson's order: facts, prose, passages, forms, reasons. No layout here."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from tabtools.document import Document
from tabtools.drawing.heading import beat_words
from tabtools.forms.annotate import with_form_words
from tabtools.forms.naming import name_forms
from tabtools.forms.segments import Segment
from tabtools.forms.words import told_words
from tabtools.instrument import TUNINGS
from tabtools.record import NamedTuple
from tabtools.score import Bar, Instrument, Part, Quarters, Score
from tabtools.sheet.lyrics import Lyrics, lyrics_of
from tabtools.sheet.prose import Paragraph, paragraphs
from tabtools.theory.inference import with_key
from tabtools.theory.respelling import respell

_SURE = 0.9  # a key that is not written and less sure than this says nothing about the notes
CAUTIONS = (
    "Hands differ; limits of stretch are typical values. Stop when it hurts; ask a teacher or a physician.",
    "Music of others is subject to copyright: the law of the place decides what you may copy or publish.",
)


class Passage(NamedTuple):
    """Bars ``first`` up to ``end`` of a part, all counted from 0, that are engraved as one."""

    part: int
    first: int
    end: int


class Reason(NamedTuple):
    """A note of a group, ``times`` struck alike: where it is, its name, what it is."""

    string: int
    fret: int
    letter: str
    words: str
    times: int

    @property
    def told(self) -> str:
        """What the note is, and how often it is struck where it is more than once."""
        return f"{self.words} ({self.times} times)" if self.times > 1 else self.words


class Group(NamedTuple):
    """A group of notes: its bars, what it comes from, and its notes."""

    part: int
    bars: str
    words: str
    reasons: tuple[Reason, ...]


class Lesson(NamedTuple):
    """A lesson as it goes on a sheet. ``forms`` has, for each part, the names over its bars, by their place
    counted from 0; ``placed`` is true where strings and frets were worked out by us."""

    score: Score
    title: str
    facts: tuple[tuple[str, str], ...]
    blocks: tuple[Paragraph | Passage, ...]
    segments: tuple[Segment, ...]
    groups: tuple[Group, ...]
    forms: tuple[dict[int, tuple[tuple[Quarters, str], ...]], ...]
    placed: bool
    lyrics: Lyrics


def lesson_of(document: Document, name: str, *, placed: bool = False) -> Lesson:
    """The lesson of a document; ``name`` is its title where it has none."""
    score = respell(document.score) if document.page else document.score
    keyed = with_key(score, _SURE)
    segments = name_forms(keyed)
    return Lesson(
        score,
        score.title or name,
        tuple(_facts(score)),
        tuple(_blocks(document, score)),
        segments,
        tuple(_group(segment) for segment in segments),
        tuple(map(_added_words, score.parts, with_form_words(keyed).parts)),
        placed,
        lyrics_of(document, score),
    )


def _facts(score: Score) -> Iterator[tuple[str, str]]:
    """What is true of the whole lesson: label and words."""
    if score.composer:
        yield "By", score.composer
    for part in score.parts[:1]:
        first = part.bars[0] if part.bars else Bar(1)
        if first.key:
            yield "Key", first.key.name
        tempo = next((bar.tempo for bar in part.bars if bar.tempo), None)
        if tempo:
            yield "Tempo", beat_words(tempo)
        yield "Metre", first.time.name
        feel = next((bar.feel for bar in part.bars if bar.feel), None)
        if feel:
            yield "Feel", feel.name
    tunings = dict.fromkeys(tuning_words(part.instrument) for part in score.parts if part.instrument.tuning)
    if tunings:
        yield "Tuning", "; ".join(tunings)
    capos = dict.fromkeys(part.instrument.capo for part in score.parts if part.instrument.capo)
    if capos:
        yield "Capo", ", ".join(f"fret {capo}" for capo in capos)


def tuning_words(instrument: Instrument) -> str:
    """How an instrument is tuned: the tuning's name if it has one, and the open strings from the last."""
    strings = " ".join(pitch.letter for pitch in reversed(instrument.tuning))
    for row in TUNINGS:
        if row.strings == instrument.tuning:
            return f"{row.instrument}, {row.names[0]}: {strings}"
    return f"{instrument.name}: {strings}"


def _blocks(document: Document, score: Score) -> Iterator[Paragraph | Passage]:
    """Prose and passages as they come on the page; a passage ends where prose or a section begins."""
    prose = list(paragraphs(document))
    passages = list(_passages(score, [paragraph.offset for paragraph in prose]))
    begins = [_offset(score.parts[passage.part].bars[passage.first]) for passage in passages]
    if None in begins:
        yield from prose
        yield from passages
        return
    told: list[tuple[int, Paragraph | Passage]] = [(paragraph.offset, paragraph) for paragraph in prose]
    told += zip((offset or 0 for offset in begins), passages, strict=True)
    yield from (block for _, block in sorted(told, key=lambda item: item[0]))


def _passages(score: Score, cuts: Sequence[int]) -> Iterator[Passage]:
    for number, part in enumerate(score.parts):
        first = 0
        for place in range(1, len(part.bars) + 1):
            if place == len(part.bars) or _begins(part, place, cuts):
                yield Passage(number, first, place)
                first = place


def _begins(part: Part, place: int, cuts: Sequence[int]) -> bool:
    """Whether a passage begins with a bar: with its section, or with prose between it and the bar before."""
    bar = part.bars[place]
    if bar.section and not bar.endings:
        return True
    before, here = _offset(part.bars[place - 1]), _offset(bar)
    return before is not None and here is not None and any(before < cut < here for cut in cuts)


def _offset(bar: Bar) -> int | None:
    return bar.spans[0].start if bar.spans else None


def _added_words(part: Part, named: Part) -> dict[int, tuple[tuple[Quarters, str], ...]]:
    """The names of forms that the author did not write."""
    added = {}
    for place, (bar, with_names) in enumerate(zip(part.bars, named.bars, strict=True)):
        words = [w for w in with_names.words if w not in bar.words]
        if words:
            added[place] = tuple((w.onset, w.text) for w in words)
    return added


def _group(segment: Segment) -> Group:
    first, last = segment.notes[0].bar, segment.notes[-1].bar
    bars = bar_name(first) if first.number == last.number else f"{bar_name(first)} to {bar_name(last)}"
    struck: dict[tuple[int, int, str, str], int] = {}
    for named in segment.notes:
        key = (named.note.string or 0, named.note.fret or 0, named.role.letter, named.role.words)
        struck[key] = struck.get(key, 0) + 1
    reasons = tuple(Reason(*key, times) for key, times in struck.items())
    return Group(segment.part, bars, told_words(segment) or "Run", reasons)


def bar_name(bar: Bar) -> str:
    """The number of a bar as it is printed."""
    return bar.label or str(bar.number)


def grouped(groups: Sequence[Group]) -> Iterator[tuple[int, list[Group]]]:
    """The groups part by part."""
    for part, members in groupby(groups, lambda group: group.part):
        yield part, list(members)
