"""A part of a score as notes with times and wants, and where each came from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from tabtools.fingering.moments import Sounded
from tabtools.fingering.neck import Neck, Place
from tabtools.fingering.states import Want
from tabtools.fingering.weights import DEFAULT_TEMPO
from tabtools.record import NamedTuple
from tabtools.score import Bar, Event, Note, Part
from tabtools.techniques import BENDS

_MICROSECONDS = 60_000_000
_LEAD = 80_000  # a grace note's time before its note, in microseconds [practice]
_UNPRESSED = ("tap", "harmonic")
_LEGATO = ("hammer", "pull", "slide")


class At(NamedTuple):
    """Where a note stands in its part: counted from 0."""

    bar: int
    event: int
    note: int


class Taken(NamedTuple):
    """The notes of a part in order of onset; ``tied`` says which struck note a tied one continues."""

    sounded: tuple[Sounded, ...]
    places: tuple[At, ...]
    tied: dict[At, int]


class _Raw(NamedTuple):
    onset: int
    end: int
    lead: bool
    at: At
    note: Note


def take(part: Part, neck: Neck, *, rework: bool = False) -> Taken:
    """The notes of a part that the fretting hand has to do with.

    With ``rework`` what is written about string, fret and finger does not count where a pitch is known.
    """
    struck: list[_Raw] = []
    tied: dict[At, At] = {}
    open_ties: dict[tuple[int | None, int | None], int] = {}
    for raw in _raw(part):
        keys = _tie_keys(raw.note)
        origin = next((open_ties[key] for key in keys if key in open_ties), None)
        if raw.note.tied and origin is not None:
            tied[raw.at] = struck[origin].at
            struck[origin] = struck[origin]._replace(end=max(raw.end, struck[origin].end))
        else:
            struck.append(raw)
            open_ties.update(dict.fromkeys(keys, len(struck) - 1))
    order = sorted(range(len(struck)), key=lambda n: (struck[n].onset, struck[n].at))
    raws = [struck[n] for n in order]
    number = {raw.at: n for n, raw in enumerate(raws)}
    sounded = tuple(_sounded(raws, neck, rework))
    return Taken(sounded, tuple(raw.at for raw in raws), {at: number[origin] for at, origin in tied.items()})


def freed(taken: Taken, part: Part, neck: Neck, numbers: Iterable[int]) -> Taken:
    """The same notes, some of them free to go wherever their pitches are found.

    ``numbers`` are those of notes that have a place as they are written.
    """
    sounded = list(taken.sounded)
    for number in numbers:
        at = taken.places[number]
        want = _want(part.bars[at.bar].events[at.event].notes[at.note], neck, rework=True)
        sounded[number] = sounded[number]._replace(want=want)
    return taken._replace(sounded=tuple(sounded))


def _tie_keys(note: Note) -> list[tuple[int | None, int | None]]:
    keys: list[tuple[int | None, int | None]] = []
    if note.string is not None:
        keys.append((note.string, None))
    if note.pitch is not None:
        keys.append((None, note.pitch.midi))
    return keys


def _raw(part: Part) -> Iterator[_Raw]:
    """Every note with its time in microseconds; repeats are not unrolled."""
    now = Fraction(0)
    quarter = Fraction(_MICROSECONDS, DEFAULT_TEMPO)
    for number, bar in enumerate(part.bars):
        if bar.tempo and bar.tempo.per_minute > 0 and bar.tempo.beat > 0:
            quarter = _MICROSECONDS / (bar.tempo.per_minute * bar.tempo.beat)
        for index, event in enumerate(bar.events):
            onset, end = _times(bar, index, event, now, quarter)
            for place, note in enumerate(event.notes):
                yield _Raw(onset, end, event.grace, At(number, index, place), note)
        now += quarter * bar.lasts


def _times(bar: Bar, index: int, event: Event, start: Fraction, quarter: Fraction) -> tuple[int, int]:
    onset = _moment(start, event.onset, quarter)
    if not event.grace:
        return onset, _moment(start, event.onset + event.duration, quarter)
    # Grace notes before one note share the time before it.
    after = [e for e in bar.events[index:] if e.grace and e.onset == event.onset]
    before = max((e.onset for e in bar.events if not e.grace and e.onset < event.onset), default=None)
    gap = round((event.onset - before) * quarter) // 2 if before is not None else _LEAD
    lead = min(_LEAD, gap)
    return onset - lead * len(after), onset - lead * (len(after) - 1)


def _moment(start: Fraction, quarters: Fraction, quarter: Fraction) -> int:
    """``start + quarters * quarter``, rounded half to even; without looking for a greatest divisor."""
    below, times, each = start.denominator, quarters.denominator, quarter.denominator
    whole = start.numerator * times * each + quarters.numerator * quarter.numerator * below
    unit = below * times * each
    floor, rest = divmod(whole, unit)
    return floor + (2 * rest > unit or (2 * rest == unit and floor % 2))


def _sounded(raws: list[_Raw], neck: Neck, rework: bool) -> Iterator[Sounded]:
    last: dict[int | None, int] = {}
    for number, raw in enumerate(raws):
        note = raw.note
        join = next((t.name for t in note.techniques if t.name in _LEGATO), "")
        joined = last.get(note.string) if join else None
        if joined is None:
            join = ""
        yield Sounded(raw.onset, raw.end, _want(note, neck, rework), raw.lead, joined, join)
        last[note.string] = number


def _want(note: Note, neck: Neck, rework: bool) -> Want:
    finger = int(note.finger) if not rework and note.finger in ("1", "2", "3", "4") else None
    bend = max((float(t.value or 2) for t in note.techniques if t.name in BENDS), default=0.0)
    press = not note.has(*_UNPRESSED)
    return Want(_places(note, neck, rework), finger, press, bend, note.has("vibrato"))


def _places(note: Note, neck: Neck, rework: bool) -> tuple[Place, ...]:
    if note.has("dead") or (note.string is None and note.has("harmonic")):
        return ()
    strings = len(neck.instrument.tuning)
    free = rework and note.pitch is not None and not note.has("harmonic")
    if note.string is not None and note.fret is not None and not free:
        last = neck.instrument.frets - neck.instrument.capo
        return ((note.string, note.fret),) if note.string <= strings and note.fret <= last else ()
    if note.pitch is None:
        return ()
    found = neck.places(note.pitch.midi)
    if note.string is not None and not rework:
        return tuple(place for place in found if place[0] == note.string) or found
    return found
