"""A standard MIDI file of a score as it is played. The same score gives the same bytes."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from io import BytesIO
from typing import Any

import mido

from tabtools.midi.bending import RANGE, Point, curve
from tabtools.midi.channels import Seat, seats
from tabtools.midi.performance import AS_WRITTEN, Playing, Tone, perform, played_bars
from tabtools.record import NamedTuple
from tabtools.score import ZERO, Bar, Key, Part, Quarters, Score, Tempo
from tabtools.theory.key import fifths, has_minor_third

TICKS = 960  # a quarter note
_WHEEL = 8192  # the wheel goes so far each way from its centre
_CLICK, _CLICK_CHANNEL = 37, 9  # side stick of the General MIDI percussion map
_USUAL = Tempo(Fraction(120))  # what a MIDI file without a tempo plays at: MIDI 1.0 specification
_MICROSECONDS = 60_000_000
_SLOWEST = 0xFFFFFF  # microseconds a quarter note that a tempo event can hold


class _Timed(NamedTuple):
    """A message at a tick; at one tick the lower ``rank`` comes first."""

    tick: int
    rank: int
    message: Any


def write_midi(score: Score, playing: Playing = AS_WRITTEN) -> bytes:
    """The score as a standard MIDI file of format 1: first a track of tempo and metre, then one a part."""
    lead = _count_in_length(score, playing)
    performed = [(part.instrument, perform(part)) for part in score.parts]
    file = mido.MidiFile(type=1, ticks_per_beat=TICKS)
    file.tracks.append(_track([*_conductor(score, playing, lead), *_clicks(score, playing)], score.title))
    for part, (_, tones), seat in zip(score.parts, performed, seats(performed), strict=True):
        file.tracks.append(_track([*_setup(seat), *_events(tones, seat, lead)], part.name))
    buffer = BytesIO()
    file.save(file=buffer)
    return buffer.getvalue()


def _track(timed: list[_Timed], name: str | None) -> Any:
    track = mido.MidiTrack()
    if name:
        track.append(mido.MetaMessage("track_name", name=_latin(name), time=0))
    now = 0
    for event in sorted(timed, key=lambda item: item[:2]):
        track.append(event.message.copy(time=event.tick - now))
        now = event.tick
    track.append(mido.MetaMessage("end_of_track", time=0))
    return track


def _latin(text: str) -> str:
    """Text as a MIDI file can hold it; other characters become question marks."""
    return text.encode("latin-1", "replace").decode("latin-1")


def _tick(time: Quarters) -> int:
    return round(time * TICKS)


def _count_in_length(score: Score, playing: Playing) -> Quarters:
    return (
        score.parts[0].bars[0].time.length * playing.count_in if score.parts and score.parts[0].bars else ZERO
    )


def _clicks(score: Score, playing: Playing) -> Iterator[_Timed]:
    if not playing.count_in or not score.parts or not score.parts[0].bars:
        return
    time = score.parts[0].bars[0].time
    for beat in range(time.beats * playing.count_in):
        start = _tick(beat * Fraction(4, time.unit))
        loud = 110 if beat % time.beats == 0 else 80
        note = {"note": _CLICK, "channel": _CLICK_CHANNEL}
        yield _Timed(start, 2, mido.Message("note_on", velocity=loud, **note))
        yield _Timed(start + TICKS // 8, 1, mido.Message("note_off", velocity=0, **note))


def _conductor(score: Score, playing: Playing, lead: Quarters) -> Iterator[_Timed]:
    """Tempo, metre, key and section of the first part, wherever they change as it is played."""
    part = score.parts[0] if score.parts else None
    if part is None or not part.bars:
        return
    in_force = _tempos(part)
    before: tuple[Tempo, Bar] | None = None
    for step in played_bars(part):
        bar, tempo = part.bars[step.bar], in_force[step.bar]
        tick = _tick(step.start + lead) if before else 0
        if before is None or tempo != before[0]:
            yield _Timed(tick, 0, mido.MetaMessage("set_tempo", tempo=_microseconds(tempo, playing)))
        if before is None or bar.time != before[1].time:
            beats = {"numerator": min(bar.time.beats, 255), "denominator": bar.time.unit}
            yield _Timed(tick, 0, mido.MetaMessage("time_signature", **beats))
        if bar.key is not None and (before is None or bar.key != before[1].key):
            yield from _key(tick, bar.key)
        if bar.section:
            yield _Timed(tick, 0, mido.MetaMessage("marker", text=_latin(bar.section)))
        before = tempo, bar


def _tempos(part: Part) -> list[Tempo]:
    """The tempo in force in every bar as written."""
    tempos: list[Tempo] = []
    for bar in part.bars:
        usable = bar.tempo is not None and bar.tempo.per_minute > 0 and bar.tempo.beat > 0
        tempos.append(bar.tempo if bar.tempo is not None and usable else tempos[-1] if tempos else _USUAL)
    return tempos


def _microseconds(tempo: Tempo, playing: Playing) -> int:
    quarter = _MICROSECONDS / (tempo.per_minute * tempo.beat * playing.speed)
    return min(max(1, round(quarter)), _SLOWEST)


def _key(tick: int, key: Key) -> Iterator[_Timed]:
    sharps = fifths(key)
    if not -7 <= sharps <= 7:
        return
    major = ("Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#")
    minor = ("Abm", "Ebm", "Bbm", "Fm", "Cm", "Gm", "Dm", "Am", "Em", "Bm", "F#m", "C#m", "G#m", "D#m", "A#m")
    names = minor if has_minor_third(key) else major
    yield _Timed(tick, 0, mido.MetaMessage("key_signature", key=names[sharps + 7]))


def _setup(seat: Seat) -> Iterator[_Timed]:
    """The sound of each channel, and how far its pitch wheel reaches."""
    for channel in dict.fromkeys(seat.channels):
        yield _Timed(0, 0, mido.Message("program_change", channel=channel, program=seat.program))
        if seat.bends:
            # Registered parameter 0, pitch bend sensitivity: MIDI 1.0 specification.
            for control, value in ((101, 0), (100, 0), (6, RANGE), (38, 0), (101, 127), (100, 127)):
                message = mido.Message("control_change", channel=channel, control=control, value=value)
                yield _Timed(0, 0, message)


def _events(tones: tuple[Tone, ...], seat: Seat, lead: Quarters) -> Iterator[_Timed]:
    bent: set[int] = set()
    for tone in tones:
        channel = seat.channel(tone)
        start = _tick(tone.start + lead)
        end = max(start + 1, _tick(tone.end + lead))
        points = curve(tone) if seat.bends else ()
        if not points and channel in bent:
            points = (Point(tone.start, ZERO),)
        bent.discard(channel)
        for point in points:
            yield _Timed(_tick(point.time + lead), 2, _wheel(channel, point))
            bent.add(channel)
        yield from _vibrato(tone, channel, start, end)
        note = {"note": min(max(tone.midi, 0), 127), "channel": channel}
        yield _Timed(start, 3, mido.Message("note_on", velocity=tone.velocity, **note))
        yield _Timed(end, 1, mido.Message("note_off", velocity=0, **note))


def _wheel(channel: int, point: Point) -> Any:
    pitch = round(point.semitones * _WHEEL / RANGE)
    return mido.Message("pitchwheel", channel=channel, pitch=min(max(pitch, -_WHEEL), _WHEEL - 1))


def _vibrato(tone: Tone, channel: int, start: int, end: int) -> Iterator[_Timed]:
    """Vibrato is the modulation wheel's: controller 1 of the MIDI 1.0 specification."""
    if tone.note.has("vibrato"):
        for tick, value in ((start, 80), (end, 0)):
            yield _Timed(tick, 1, mido.Message("control_change", channel=channel, control=1, value=value))
