"""Pairs of takes with one known change, for the tests and the benchmark of comparing."""

from __future__ import annotations

from fractions import Fraction
from random import Random

from tabtools.instrument import GUITAR
from tabtools.record import NamedTuple
from tabtools.score import Bar, Event, Note, Part, Technique, Tempo
from tabtools.theory.spelling import spell
from tests.phrases.judging import read
from tests.phrases.pages import phrase

CHANGES = ("pitch", "place", "time", "missing", "technique", "added", "chord", "setting")


class Pair(NamedTuple):
    """Two takes, the kind of the one change between them and the bar it is in; 0 for the whole."""

    first: Part
    second: Part
    kind: str
    bar: int


def pair(seed: int) -> Pair:
    """A random phrase and the same with one change."""
    random = Random(seed)
    kind = CHANGES[seed % len(CHANGES)]
    while True:
        part = read(phrase(random)).score.parts[0]
        changed = _changed(part, kind, random)
        if changed is not None:
            return Pair(part, *changed)


def _changed(part: Part, kind: str, random: Random) -> tuple[Part, str, int] | None:
    if kind == "setting":
        tempo = part.bars[0].tempo or Tempo(Fraction(60))
        bar = part.bars[0]._replace(tempo=tempo._replace(per_minute=tempo.per_minute + 7))
        return _with(part, bar, 0), kind, 0
    number = random.randrange(len(part.bars))
    bar = part.bars[number]
    at = random.randrange(1, len(bar.events))
    event = bar.events[at]
    new = _bar(bar, at, event, event.notes[0], kind)
    return None if new is None else (_with(part, new, number), kind, bar.number)


def _with(part: Part, bar: Bar, number: int) -> Part:
    return part._replace(bars=(*part.bars[:number], bar, *part.bars[number + 1 :]))


def _bar(bar: Bar, at: int, event: Event, note: Note, kind: str) -> Bar | None:
    if kind == "chord":
        return bar._replace(harmonies=(bar.harmonies[0]._replace(symbol="Bdim7"),))
    if kind == "time":
        return _later(bar, at)
    assert note.fret is not None
    assert note.string is not None
    if kind == "missing":
        return _put(bar, at, event._replace(notes=()))
    if kind == "pitch":
        if note.techniques:
            return None
        return _put(bar, at, event._replace(notes=(_at(note, note.string, note.fret + 1),)))
    if kind == "place":
        away = _elsewhere(note)
        return None if away is None else _put(bar, at, event._replace(notes=(away,)))
    if kind == "technique":
        if note.has("vibrato"):
            return None
        more = note._replace(techniques=(*note.techniques, Technique("vibrato")))
        return _put(bar, at, event._replace(notes=(more,)))
    other = _at(note, 1 if note.string != 1 else 2, note.fret)._replace(techniques=())
    return _put(bar, at, event._replace(notes=tuple(sorted((note, other), key=lambda one: one.string or 0))))


def _put(bar: Bar, at: int, event: Event) -> Bar:
    return bar._replace(events=(*bar.events[:at], event, *bar.events[at + 1 :]))


def _later(bar: Bar, at: int) -> Bar:
    """A note a sixteenth later; the one before lasts as much longer."""
    by = Fraction(1, 4)
    before, event = bar.events[at - 1], bar.events[at]
    late = event._replace(onset=event.onset + by, duration=event.duration - by)
    return _put(_put(bar, at - 1, before._replace(duration=before.duration + by)), at, late)


def _at(note: Note, string: int, fret: int) -> Note:
    return note._replace(string=string, fret=fret, pitch=spell(GUITAR.midi(string, fret), None))


def _elsewhere(note: Note) -> Note | None:
    assert note.pitch is not None
    for string in range(6, 0, -1):
        fret = note.pitch.midi - GUITAR.midi(string, 0)
        if string != note.string and 0 < fret < 20:
            return note._replace(string=string, fret=fret)
    return None
