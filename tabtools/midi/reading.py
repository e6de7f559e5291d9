"""A score from a MIDI file: notes on a grid, in voices and bars, with the strings that channels tell."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction
from itertools import groupby, pairwise

from tabtools.instrument import GUITAR, TUNINGS, instrument_from
from tabtools.midi.gestures import Gestures, gestures
from tabtools.midi.quantising import BarLines, Grid, Metre
from tabtools.midi.ticks import Change, RawFile, RawNote, RawTrack, read_ticks
from tabtools.record import NamedTuple
from tabtools.score import (
    ZERO,
    Bar,
    Event,
    Inferred,
    Instrument,
    Key,
    Note,
    Part,
    Quarters,
    Score,
    Technique,
    Tempo,
    TimeSignature,
)
from tabtools.source import UnreadableError
from tabtools.techniques import ordered
from tabtools.theory.inference import with_key
from tabtools.theory.key import parse_key
from tabtools.theory.respelling import respell
from tabtools.theory.spelling import spell

_MICROSECONDS = 60_000_000
_COMMON = Metre(ZERO, 4, 4)  # what holds until a metre is given: the MIDI file specification
_TOGETHER = Fraction(1, 4)  # of a note's length: a pause no longer than that is how it was played
_MOST_VOICES = 4
_MOST_FRET = 24
_SHORTEST_UNIT = 64
_LOW_NOTE = 0.6  # how sure a tuning is that only a low note tells
# Programs of General MIDI 1, counted from 0, and the instrument that plays them.
_INSTRUMENTS = {**dict.fromkeys(range(32, 40), "Bass"), 105: "Banjo"}


class MidiReading(NamedTuple):
    """The score of a MIDI file, and what of the file it does not hold, in words for the user."""

    score: Score
    remarks: tuple[str, ...]


class _Strummed(NamedTuple):
    """Notes that begin and end together, in quarter notes from the beginning."""

    start: Quarters
    end: Quarters
    notes: tuple[Note, ...]


def read_midi(data: bytes) -> MidiReading:
    """The score of a MIDI file. Times are put on the grid that fits each beat best.

    Raises UnreadableError for a file that can't be read, or that holds no notes of pitch.
    """
    raw = read_ticks(data)
    if not raw.tracks:
        drums = f" but {raw.percussion} of percussion" if raw.percussion else ""
        raise UnreadableError(f"the MIDI file has no notes{drums}")
    grid = Grid((note.start for track in raw.tracks for note in track.notes), raw.resolution)
    played = [gestures(track, raw.resolution) for track in raw.tracks]
    lines = _bar_lines(raw, grid)
    parts = [_part(track, moves, lines, raw, grid) for track, moves in zip(raw.tracks, played, strict=True)]
    score = _spelled(Score(tuple(parts), raw.title))
    return MidiReading(score, tuple(_remarks(raw, grid, played, parts)))


def _remarks(raw: RawFile, grid: Grid, played: list[Gestures], parts: list[Part]) -> Iterator[str]:
    for part in parts:
        for mark in part.instrument.inferred:
            names = " ".join(pitch.letter for pitch in reversed(part.instrument.tuning))
            yield f"part {part.name}: {mark.evidence}, so the strings are taken as {names}"
    if raw.percussion:
        strokes = (
            "1 stroke of percussion has"
            if raw.percussion == 1
            else f"{raw.percussion} strokes of percussion have"
        )
        yield f"{strokes} no pitch: left out"
    if grid.is_played:
        yield "the notes lie beside every division of the beat, as when somebody plays: check the rhythm"
    unread = sum(moves.unread for moves in played)
    if unread:
        yield f"the pitch wheel moves in {unread} notes in a way that is neither bend nor slide: left out"


def _spelled(score: Score) -> Score:
    """Note names by the key, which is inferred for that where the file gives none."""
    keyed = respell(with_key(score))
    if all(bar.key for part in score.parts for bar in part.bars):
        return keyed
    parts = []
    for part, named in zip(score.parts, keyed.parts, strict=True):
        bars = (
            bar._replace(events=respelled.events)
            for bar, respelled in zip(part.bars, named.bars, strict=True)
        )
        parts.append(part._replace(bars=tuple(bars)))
    return score._replace(parts=tuple(parts))


def _bar_lines(raw: RawFile, grid: Grid) -> BarLines:
    metres: dict[Quarters, Metre] = {ZERO: _COMMON}
    for change in raw.changes:
        if _is_metre(change):
            start = grid.time(change.tick)
            metres[start] = Metre(start, change.message.numerator, change.message.denominator)
    last = max(_times(note, grid)[1] for track in raw.tracks for note in track.notes)
    return BarLines([metres[start] for start in sorted(metres)], last)


def _is_metre(change: Change) -> bool:
    """Whether a change is a metre that music can have: damaged files divide a bar into nothing."""
    message = change.message
    is_metre: bool = message.type == "time_signature"
    return is_metre and message.numerator > 0 and 0 < message.denominator <= _SHORTEST_UNIT


def _part(track: RawTrack, moves: Gestures, lines: BarLines, raw: RawFile, grid: Grid) -> Part:
    instrument = _instrument(track)
    strings = _strings(track, instrument)
    notes = []
    for raw_note, techniques in zip(track.notes, moves.techniques, strict=True):
        notes.append((*_times(raw_note, grid), _note(raw_note, instrument, strings, techniques)))
    voices = _voices(_smooth(_chords(notes)) if grid.is_played else _chords(notes))
    bars = _empty_bars(lines, raw, grid)
    for number, voice in enumerate(voices, 1):
        for bar, events in _barred(voice, lines, number).items():
            bars[bar] = bars[bar]._replace(events=(*bars[bar].events, *events))
    ordered_bars = (bar._replace(events=tuple(sorted(bar.events, key=_in_order))) for bar in bars)
    return Part(track.name or instrument.name, instrument, tuple(ordered_bars))


def _in_order(event: Event) -> tuple[Quarters, int]:
    return event.onset, event.voice


def _instrument(track: RawTrack) -> Instrument:
    """The instrument that the track's name holds, else that of its program, else a guitar."""
    name = track.name.lower()
    named = [row for row in TUNINGS if row.instrument.lower() in name]
    if named:
        return instrument_from(max(named, key=lambda row: len(row.instrument)))
    kind = _INSTRUMENTS.get(track.program, GUITAR.name)
    rows = [row for row in TUNINGS if row.instrument == kind]
    lowest = min(note.midi for note in track.notes)
    fitting = next((row for row in rows if min(pitch.midi for pitch in row.strings) <= lowest), rows[0])
    instrument = instrument_from(fitting)
    if fitting is rows[0]:
        return instrument
    mark = Inferred("tuning", f"notes down to {spell(lowest, None).name}", _LOW_NOTE)
    return instrument._replace(inferred=(mark,))


def _strings(track: RawTrack, instrument: Instrument) -> dict[int, int]:
    """The string of each channel, where a track plays a string a channel; empty where it does not.

    One channel more than there are strings has the notes without a string first. All notes must lie on the
    neck then, and no string may sound twice at once.
    """
    count = len(instrument.tuning)
    channels = track.channels[-count:]
    if len(track.channels) not in (count, count + 1):
        return {}
    strings = {channel: string for string, channel in enumerate(channels, 1)}
    free: dict[int, int] = {}
    for note in track.notes:
        string = strings.get(note.channel)
        if string is None:
            continue
        fret = note.midi - instrument.midi(string, 0)
        if not 0 <= fret <= _MOST_FRET or note.start < free.get(string, 0):
            return {}
        free[string] = note.end
    return strings


def _times(note: RawNote, grid: Grid) -> tuple[Quarters, Quarters]:
    start, end = grid.time(note.start), grid.time(note.end)
    return start, end if end > start else start + Fraction(1, 8)


def _note(
    raw: RawNote, instrument: Instrument, strings: dict[int, int], techniques: tuple[Technique, ...]
) -> Note:
    string = strings.get(raw.channel)
    fret = raw.midi - instrument.midi(string, 0) if string is not None else None
    return Note(string, fret, spell(raw.midi, None), ordered(techniques))


def _chords(notes: list[tuple[Quarters, Quarters, Note]]) -> list[_Strummed]:
    """Notes that begin and end together, in order; the same note twice at once counts once."""
    together: defaultdict[tuple[Quarters, Quarters], list[Note]] = defaultdict(list)
    for start, end, note in notes:
        if all(note.pitch != other_note.pitch for other_note in together[start, end]):
            together[start, end].append(note)
    return [
        _Strummed(start, end, tuple(sorted(group, key=lambda note: -(note.pitch.midi if note.pitch else 0))))
        for (start, end), group in sorted(together.items(), key=lambda item: item[0])
    ]


def _smooth(chords: list[_Strummed]) -> list[_Strummed]:
    """Notes as long as they were meant: a player leaves a string a little early."""
    starts = sorted({chord.start for chord in chords})
    following = dict(pairwise(starts))
    smoothed = []
    for chord in chords:
        then = following.get(chord.start)
        gap = None if then is None else then - chord.end
        is_pause = gap is not None and abs(gap) <= (chord.end - chord.start) * _TOGETHER
        smoothed.append(chord._replace(end=then) if is_pause and then is not None else chord)
    return _chords([(chord.start, chord.end, note) for chord in smoothed for note in chord.notes])


def _voices(chords: list[_Strummed]) -> list[list[_Strummed]]:
    """Lines in which nothing overlaps, the first one fullest. What the last one has no room for is cut."""
    voices: list[list[_Strummed]] = []
    for chord in chords:
        free = next((voice for voice in voices if voice[-1].end <= chord.start), None)
        if free is None and len(voices) < _MOST_VOICES:
            free = []
            voices.append(free)
        if free is None:
            free = min(voices, key=lambda voice: voice[-1].end)
            before = free.pop()
            if before.start < chord.start:
                free.append(before._replace(end=chord.start))
            else:
                chord = chord._replace(notes=(*before.notes, *chord.notes))
        free.append(chord)
    return voices


def _barred(voice: list[_Strummed], lines: BarLines, number: int) -> dict[int, list[Event]]:
    """The events of a voice by bar, rests between them; a note over a bar line is tied."""
    bars: defaultdict[int, list[Event]] = defaultdict(list)
    for chord in voice:
        start, notes = chord.start, chord.notes
        while start < chord.end:
            bar = lines.bar_of(start)
            end = min(chord.end, lines.end_of(bar))
            bars[bar].append(Event(start - lines.starts[bar], end - start, notes, voice=number))
            start, notes = end, tuple(note._replace(tied=True, techniques=()) for note in notes)
    for bar, events in bars.items():
        bars[bar] = list(_with_rests(events, lines.end_of(bar) - lines.starts[bar], number))
    return bars


def _with_rests(events: list[Event], length: Quarters, voice: int) -> Iterator[Event]:
    now = ZERO
    for event in events:
        if event.onset > now:
            yield Event(now, event.onset - now, voice=voice)
        yield event
        now = event.onset + event.duration
    if now < length:
        yield Event(now, length - now, voice=voice)


def _empty_bars(lines: BarLines, raw: RawFile, grid: Grid) -> list[Bar]:
    """The bars with metre, key and tempo; one that holds nothing gets a rest when it is written."""
    bars = [
        Bar(number, TimeSignature(metre.beats, metre.unit)) for number, metre in enumerate(lines.metres, 1)
    ]
    for kind, changes in groupby(sorted(raw.changes, key=lambda c: c.message.type), lambda c: c.message.type):
        for change in changes:
            place = lines.bar_of(grid.time(change.tick))
            if kind == "set_tempo":
                bars[place] = bars[place]._replace(tempo=_tempo(change))
            elif kind == "key_signature":
                key = _key(change.message.key)
                bars[place:] = [bar._replace(key=key) for bar in bars[place:]]
    return bars


def _tempo(change: Change) -> Tempo:
    """Beats a minute as people write them: files hold whole microseconds a quarter note."""
    per_minute = Fraction(_MICROSECONDS, max(1, change.message.tempo))
    nearest = Fraction(round(per_minute))
    exact = nearest and round(_MICROSECONDS / nearest) == change.message.tempo
    return Tempo(nearest if exact else per_minute.limit_denominator(100))


def _key(name: str) -> Key | None:
    return parse_key(name)
