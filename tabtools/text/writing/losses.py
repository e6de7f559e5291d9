"""What a score loses when it is written as text tab: found by reading the text again, not foretold."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator

from tabtools.score import Bar, Event, Part, Score
from tabtools.source import Source, UnreadableError
from tabtools.text.reader import read_text

Facts = Iterator[object]


def losses(score: Score, text: str) -> tuple[str, ...]:
    """What of ``score`` reading ``text`` does not give back as it was, in words with numbers:
    ``3 of 8 fingers``.

    ``text`` is what `write_text` made of the score.
    """
    try:
        read = read_text(Source("written", text)).score
    except UnreadableError:
        return ("all of it: there are no notes to write",)
    return tuple(
        f"{lost} of {total} {name}"
        for name, facts in _FACTS.items()
        for before, after in [(Counter(facts(score)), Counter(facts(read)))]
        for lost, total in [(max((before - after).total(), (after - before).total()), before.total())]
        if lost
    )


def left_out(score: Score) -> str | None:
    """The notes that have no string, so that `write_text` leaves them out, bar by bar, as in ``2 of 40 notes
    have no string and are left out: D2 in bar 3, E2 in bar 9``; None where all have one."""
    total = sum(len(event.notes) for _, bar, _ in _bars(score) for event in bar.events)
    found: dict[str, list[str]] = {}
    for number, bar, _ in _bars(score):
        part = f" of part {score.parts[number].name}" if len(score.parts) > 1 else ""
        for note in (note for event in bar.events for note in event.notes if note.string is None):
            name = note.pitch.name if note.pitch else "a note without pitch"
            found.setdefault(f"bar {bar.number}{part}", []).append(name)
    if not found:
        return None
    count = sum(map(len, found.values()))
    places = ", ".join(f"{' '.join(names)} in {place}" for place, names in found.items())
    have = "has no string and is" if count == 1 else "have no string and are"
    return f"{count} of {total} notes {have} left out: {places}"


def _bars(score: Score) -> Iterator[tuple[int, Bar, Bar | None]]:
    """Every bar with the index of its part and the bar before it."""
    for number, part in enumerate(score.parts):
        before: Bar | None = None
        for bar in part.bars:
            yield number, bar, before
            before = bar


def _each(of_bar: Callable[[Bar], Iterator[object]]) -> Callable[[Score], Facts]:
    def facts(score: Score) -> Facts:
        return ((number, bar.number, fact) for number, bar, _ in _bars(score) for fact in of_bar(bar))

    return facts


def _changes(of_bar: Callable[[Bar], object]) -> Callable[[Score], Facts]:
    """A fact that holds until it changes, at the bars where it does."""

    def facts(score: Score) -> Facts:
        for number, bar, before in _bars(score):
            fact = of_bar(bar)
            if fact is not None and (before is None or of_bar(before) != fact):
                yield number, bar.number, fact

    return facts


def _struck(bar: Bar) -> Iterator[tuple[Event, object]]:
    """The events with notes, each with its place."""
    for event in bar.events:
        if event.notes:
            yield event, (event.onset, event.grace)


def _tempo(bar: Bar) -> Facts:
    if bar.tempo:
        yield bar.tempo.per_minute * bar.tempo.beat


def _repeats(bar: Bar) -> Facts:
    if bar.repeat_start or bar.repeat_times or bar.endings:
        yield bar.repeat_start, bar.repeat_times, bar.endings


def _notes(bar: Bar) -> Facts:
    return ((place, note.string, note.fret) for event, place in _struck(bar) for note in event.notes)


def _lengths(bar: Bar) -> Facts:
    return ((place, note.string, event.duration) for event, place in _struck(bar) for note in event.notes)


def _ties(bar: Bar) -> Facts:
    return ((place, note.string) for event, place in _struck(bar) for note in event.notes if note.tied)


def _techniques(bar: Bar) -> Facts:
    return (
        (place, note.string, technique)
        for event, place in _struck(bar)
        for note in event.notes
        for technique in note.techniques
    )


def _fingers(bar: Bar) -> Facts:
    return (
        (place, note.string, note.finger)
        for event, place in _struck(bar)
        for note in event.notes
        if note.finger
    )


def _voices(bar: Bar) -> Facts:
    return iter({event.voice for event in bar.events} - {1})


def _tuplets(bar: Bar) -> Facts:
    return ((event.onset, event.tuplet) for event in bar.events if event.tuplet)


def _instrument(part: Part) -> object:
    return tuple(pitch.midi for pitch in part.instrument.tuning), part.instrument.capo


_FACTS: dict[str, Callable[[Score], Facts]] = {
    "titles and composers": lambda score: (
        (kind, name) for kind, name in (("title", score.title), ("composer", score.composer)) if name
    ),
    "part names": lambda score: iter([part.name for part in score.parts] if len(score.parts) > 1 else []),
    "tunings and capos": lambda score: iter([_instrument(part) for part in score.parts]),
    "keys": _changes(lambda bar: bar.key),
    "metres": _changes(lambda bar: bar.time),
    "tempos": _each(_tempo),
    "sections": _each(lambda bar: iter([bar.section] if bar.section else [])),
    "repeats and endings": _each(_repeats),
    "chord names": _each(lambda bar: ((harmony.onset, harmony.symbol) for harmony in bar.harmonies)),
    "remarks": _each(lambda bar: ((words.onset, words.text) for words in bar.words)),
    "notes": _each(_notes),
    "note lengths": _each(_lengths),
    "ties": _each(_ties),
    "techniques": _each(_techniques),
    "fingers": _each(_fingers),
    "second voices": _each(_voices),
    "tuplet marks": _each(_tuplets),
}
