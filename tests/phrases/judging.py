"""What a move must hold: pitches, times and techniques, a page that reads without a doubt and checks clean,
the same music after moving back. Independent of the mover: from the page and the page that it became."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from tabtools.document import Document
from tabtools.lint.engine import check
from tabtools.lint.rules import load_all
from tabtools.phrases.moving import move
from tabtools.phrases.names import interval_by
from tabtools.phrases.page import written
from tabtools.phrases.wish import Wish
from tabtools.source import Source
from tabtools.text.reader import read_text

Sounding = list[tuple[object, ...]]


def read(text: str) -> Document:
    return read_text(Source("phrase.txt", text))


def sounding(document: Document) -> Sounding:
    """Bar, onset, duration, MIDI number and techniques of every note, without what says where it lies."""
    return sorted(
        (
            bar.number,
            event.onset,
            event.duration,
            note.pitch.midi if note.pitch else -1,
            tuple(technique.name for technique in note.techniques),
        )
        for part in document.score.parts
        for bar in part.bars
        for event in bar.events
        for note in event.notes
    )


def findings(document: Document) -> Counter[str]:
    """Errors and warnings by rule."""
    return Counter(finding.rule for finding in check(document, load_all()) if finding.severity.word != "info")


def moved_text(document: Document, wish: Wish) -> str | tuple[str, ...]:
    """The page after a move, or why there is none."""
    moved = move(document.score, wish)
    if moved.refused:
        return tuple(told.words for told in moved.refused)
    result = written(document.source, document.score, moved)
    return result.text if result.text is not None else tuple(told.words for told in result.refused)


def faults(text: str, wish: Wish) -> Iterator[str]:
    """What is wrong with a move of a page; nothing where it is refused with a reason."""
    before = read(text)
    result = moved_text(before, wish)
    if isinstance(result, tuple):
        if not result or not all(result):
            yield "refused without a reason"
        if any("would not read" in reason for reason in result):
            yield f"not written: {result}"
        return
    after = read(result)
    by = wish.interval.semitones
    octaves = (0, 12, -12) if wish.form else (0,)
    for old, new in zip(sounding(before), sounding(after), strict=True):
        apart = new[3] - old[3] - by  # type: ignore[operator]
        if old[:3] != new[:3] or old[4] != new[4] or apart not in octaves:
            yield f"another note: {old} to {new}"
    worse = findings(after) - findings(before)
    if worse:
        yield f"new findings: {dict(worse)}"
    for line in text.splitlines():
        if line.startswith(("Title", "Composer", "Time", "Tempo")) and line not in result:
            yield f"lost: {line}"
    if not wish.form and by:
        key = after.score.parts[0].bars[0].key
        back = moved_text(after, Wish(interval_by(-by, key)))
        if isinstance(back, tuple):
            yield f"no way back: {back}"
        elif sounding(read(back)) != sounding(before):
            yield "other music after moving there and back"
