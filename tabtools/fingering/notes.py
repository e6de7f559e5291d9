"""A part of a score as notes with times and wants, and where each came from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import lru_cache

from tabtools.fingering.hints import NO_HINTS, Hints
from tabtools.fingering.moments import Sounded
from tabtools.fingering.neck import Neck, Place
from tabtools.fingering.states import Want
from tabtools.fingering.weights import DEFAULT_TEMPO
from tabtools.record import NamedTuple
from tabtools.score import Bar, Event, Note, Part
from tabtools.techniques import BENDS
from tabtools.timeline import NoteIndex

_MICROSECONDS = 60_000_000
_LEAD = 80_000  # a grace note's time before its note, in microseconds [practice]
_UNPRESSED = ("tap", "harmonic")
_TELLING = {*_UNPRESSED, "dead", "vibrato", *BENDS}  # techniques that ask something of the hand
_LEGATO = ("hammer", "pull", "slide")


class Taken(NamedTuple):
    """The notes of a part in order of onset; ``tied`` says which struck note a tied one continues."""

    sounded: tuple[Sounded, ...]
    places: tuple[NoteIndex, ...]
    tied: dict[NoteIndex, int]


class _Raw(NamedTuple):
    onset: int
    end: int
    lead: bool
    at: NoteIndex
    note: Note


def take(part: Part, neck: Neck, *, rework: bool = False, hints: Hints = NO_HINTS) -> Taken:
    """The notes of a part that the fretting hand has to do with.

    With ``rework`` what is written about string, fret and finger does not count where a pitch is known.
    ``hints`` tell what the page says of positions and forms.
    """
    struck = list(_raw(part))
    tied: dict[NoteIndex, NoteIndex] = {}
    if any(raw.note.tied for raw in struck):
        struck, tied = _joined(struck)
    raws = sorted(struck, key=lambda raw: (raw.onset, raw.at))
    number = {raw.at: n for n, raw in enumerate(raws)} if tied else {}
    sounded = tuple(_hinted(_sounded(raws, neck, rework), raws, part, hints))
    return Taken(
        sounded, tuple([raw.at for raw in raws]), {at: number[origin] for at, origin in tied.items()}
    )


def _joined(raws: list[_Raw]) -> tuple[list[_Raw], dict[NoteIndex, NoteIndex]]:
    """The notes that are struck, as long as those tied to them last, and what each tied one continues."""
    struck: list[_Raw] = []
    tied: dict[NoteIndex, NoteIndex] = {}
    open_ties: dict[tuple[int | None, int | None], int] = {}
    for raw in raws:
        keys = _tie_keys(raw.note)
        origin = next((open_ties[key] for key in keys if key in open_ties), None)
        if raw.note.tied and origin is not None:
            tied[raw.at] = struck[origin].at
            struck[origin] = struck[origin]._replace(end=max(raw.end, struck[origin].end))
        else:
            struck.append(raw)
            open_ties.update(dict.fromkeys(keys, len(struck) - 1))
    return struck, tied


def freed(taken: Taken, part: Part, neck: Neck, numbers: Iterable[int]) -> Taken:
    """The same notes, some of them free to go wherever their pitches are found.

    ``numbers`` are those of notes that have a place as they are written; it stays theirs where their pitch
    is found nowhere, as where a file contradicts itself.
    """
    sounded = list(taken.sounded)
    for number in numbers:
        at = taken.places[number]
        want = _want(part.bars[at.bar].events[at.event].notes[at.note], neck, rework=True)
        if not want.places:
            continue
        old = sounded[number]
        sounded[number] = Sounded(old.onset, old.end, want, old.lead, old.joined, old.join)
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
        clock = _Clock(now, quarter)
        for index, event in enumerate(bar.events):
            onset, end = _times(bar, index, event, clock)
            for place, note in enumerate(event.notes):
                yield _Raw(onset, end, event.grace, NoteIndex(number, index, place), note)
        now += quarter * bar.lasts


class _Clock:
    """Turns quarter notes from the start of a bar into microseconds from the start of the part. No greatest
    divisor is looked for."""

    def __init__(self, start: Fraction, quarter: Fraction) -> None:
        self.quarter = quarter
        self._before = start.numerator * quarter.denominator
        self._each = quarter.numerator * start.denominator
        self._unit = start.denominator * quarter.denominator

    def at(self, n: int, d: int) -> int:
        """The microsecond of ``n / d`` quarter notes, rounded half to even."""
        whole, unit = self._before * d + self._each * n, self._unit * d
        floor, rest = divmod(whole, unit)
        return floor + (2 * rest > unit or (2 * rest == unit and floor % 2))


def _times(bar: Bar, index: int, event: Event, clock: _Clock) -> tuple[int, int]:
    n, d = event.onset.numerator, event.onset.denominator
    onset = clock.at(n, d)
    if not event.grace:
        lasts, of = event.duration.numerator, event.duration.denominator
        return onset, clock.at(n * of + lasts * d, d * of)
    # Grace notes before one note share the time before it.
    after = [e for e in bar.events[index:] if e.grace and e.onset == event.onset]
    before = max((e.onset for e in bar.events if not e.grace and e.onset < event.onset), default=None)
    gap = round((event.onset - before) * clock.quarter) // 2 if before is not None else _LEAD
    lead = min(_LEAD, gap)
    return onset - lead * len(after), onset - lead * (len(after) - 1)


def _sounded(raws: list[_Raw], neck: Neck, rework: bool) -> Iterator[Sounded]:
    last: dict[int | None, int] = {}
    for number, raw in enumerate(raws):
        note = raw.note
        join = next((t.name for t in note.techniques if t.name in _LEGATO), "") if note.techniques else ""
        joined = last.get(note.string) if join else None
        if joined is None:
            join = ""
        yield Sounded(raw.onset, raw.end, _want(note, neck, rework), raw.lead, joined, join)
        last[note.string] = number


def _hinted(sounded: Iterable[Sounded], raws: list[_Raw], part: Part, hints: Hints) -> Iterator[Sounded]:
    """The notes with the position and the finger that the page speaks for."""
    if not hints.positions and not hints.held:
        yield from sounded
        return
    starts = part.starts
    for note, raw in zip(sounded, raws, strict=True):
        onset = starts[raw.at.bar] + part.bars[raw.at.bar].events[raw.at.event].onset
        want = note.want._replace(near=hints.position(onset, raw.at), likely=hints.finger(raw.at))
        yield note._replace(want=want)


def _want(note: Note, neck: Neck, rework: bool) -> Want:
    midi = note.pitch.midi if note.pitch else None
    if (rework or not note.finger) and _TELLING.isdisjoint([t.name for t in note.techniques]):
        return _plain(neck, note.string, note.fret, midi, rework)
    finger = int(note.finger) if not rework and note.finger in ("1", "2", "3", "4") else None
    bend = max((float(t.value or 2) for t in note.techniques if t.name in BENDS), default=0.0)
    press = not note.has(*_UNPRESSED)
    harmonic = note.has("harmonic")
    nowhere = note.has("dead") or (note.string is None and harmonic)
    places = () if nowhere else _places(neck, note.string, note.fret, midi, rework, kept=harmonic)
    return Want(places, finger, press, bend, note.has("vibrato"))


@lru_cache(maxsize=2000)
def _plain(neck: Neck, string: int | None, fret: int | None, midi: int | None, rework: bool) -> Want:
    """What is asked of a note that is only held down, wherever it comes again."""
    return Want(_places(neck, string, fret, midi, rework))


def _places(
    neck: Neck, string: int | None, fret: int | None, midi: int | None, rework: bool, *, kept: bool = False
) -> tuple[Place, ...]:
    """Where a note may be played; with ``kept`` only where it is written, if it is."""
    free = rework and midi is not None and not kept
    if string is not None and fret is not None and not free:
        last = neck.instrument.frets - neck.instrument.capo
        return ((string, fret),) if string <= len(neck.instrument.tuning) and fret <= last else ()
    if midi is None:
        return ()
    found = neck.places(midi)
    if string is not None and not rework:
        return tuple(place for place in found if place[0] == string) or found
    return found
