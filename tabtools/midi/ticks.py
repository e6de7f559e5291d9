"""The notes of a MIDI file as they lie there: in ticks, with channels and pitch wheels."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from io import BytesIO
from typing import Any

import mido

from tabtools.record import NamedTuple
from tabtools.source import UnreadableError

_PERCUSSION = 9
_USUAL_RANGE = 2.0  # semitones of a pitch wheel that nothing was said to: General MIDI 1 system level
_STILL = 0.01  # semitones
# A file whose last event lies further on is damaged: a pause alone may count 28 bits of ticks.
_LONGEST = 50_000  # quarter notes


class WheelPoint(NamedTuple):
    """From ``tick`` on, the channel sounds ``semitones`` above its notes."""

    tick: int
    semitones: float


class RawNote(NamedTuple):
    """A note from ``start`` to ``end`` in ticks, with the wheel's movement while it sounds."""

    start: int
    end: int
    midi: int
    channel: int
    wheel: tuple[WheelPoint, ...] = ()
    is_vibrato: bool = False


class RawTrack(NamedTuple):
    """A track with notes. ``channels`` are those that it sets up or plays on, in order."""

    name: str
    program: int
    channels: tuple[int, ...]
    notes: tuple[RawNote, ...]


class Change(NamedTuple):
    """A tempo, metre or key from a tick on, as mido's message of that kind."""

    tick: int
    message: Any


class RawFile(NamedTuple):
    """A MIDI file: ticks a quarter note, tracks with notes, changes in order, number of drum strokes."""

    resolution: int
    tracks: tuple[RawTrack, ...]
    changes: tuple[Change, ...]
    percussion: int
    title: str | None


def read_ticks(data: bytes) -> RawFile:
    """The notes and changes of a MIDI file.

    Raises UnreadableError for bytes that mido cannot read, for time in frames of film, and for a length that
    no music has.
    """
    try:
        file = mido.MidiFile(file=BytesIO(data), clip=True)
    except Exception as error:  # mido raises whatever its parser trips over
        reason = str(error) or "the file ends too early"
        raise UnreadableError(f"the file begins like MIDI and can't be read as MIDI: {reason}") from error
    resolution = file.ticks_per_beat
    if not 0 < resolution < 0x8000:
        raise UnreadableError("the MIDI file counts time in frames of film, which say nothing of beats")
    _refuse_endless(file, resolution)
    tracks, changes, percussion = [], [], 0
    for track in file.tracks:
        reader = _TrackReader(track)
        changes += reader.changes
        percussion += reader.percussion
        tracks += reader.tracks(split=file.type == 0)
    first_name = file.tracks[0].name.strip() if file.tracks else ""
    named_part = any(track.name == first_name for track in tracks)
    changes.sort(key=lambda change: change.tick)
    return RawFile(
        resolution, tuple(tracks), tuple(changes), percussion, None if named_part else first_name or None
    )


def _refuse_endless(file: Any, resolution: int) -> None:
    longest = max((sum(message.time for message in track) for track in file.tracks), default=0)
    if longest > _LONGEST * resolution:
        raise UnreadableError(
            f"the MIDI file lasts {longest // resolution} quarter notes and at most {_LONGEST} are read: "
            "it is damaged, or its pauses must be cut"
        )


class _TrackReader:
    """One pass through a track."""

    def __init__(self, track: Any) -> None:
        self.changes: list[Change] = []
        self.percussion = 0
        self._name = track.name.strip()
        self._programs: dict[int, int] = {}
        self._notes: list[RawNote] = []
        self._open: dict[tuple[int, int], list[tuple[int, bool]]] = {}
        self._wheels: dict[int, list[WheelPoint]] = {}
        self._ranges: dict[int, float] = {}
        self._parameters: dict[int, dict[int, int]] = {}
        self._modulated: dict[int, bool] = {}
        now = 0
        for message in track:
            now += message.time
            self._take(now, message)
        for key in list(self._open):
            while self._open[key]:
                self._close(now, *key)

    def tracks(self, *, split: bool) -> list[RawTrack]:
        """The track, or one for each channel where one track holds all of the file."""
        self._notes.sort()
        channels = sorted({*self._programs, *(note.channel for note in self._notes)})
        groups = [[channel] for channel in channels] if split else [channels]
        result = []
        for group in groups:
            notes = tuple(note for note in self._notes if note.channel in group)
            if notes:
                result.append(
                    RawTrack(self._name, self._programs.get(notes[0].channel, 0), tuple(group), notes)
                )
        return result

    def _take(self, tick: int, message: Any) -> None:
        kind = message.type
        if kind in ("set_tempo", "time_signature", "key_signature"):
            self.changes.append(Change(tick, message))
        elif kind == "note_on" and message.velocity:
            self._open.setdefault((message.channel, message.note), []).append(
                (tick, self._modulated.get(message.channel, False))
            )
        elif kind in ("note_on", "note_off"):
            self._close(tick, message.channel, message.note)
        elif kind == "program_change" and message.channel != _PERCUSSION:
            self._programs.setdefault(message.channel, message.program)
        elif kind == "pitchwheel":
            semitones = message.pitch / 8192 * self._ranges.get(message.channel, _USUAL_RANGE)
            self._wheels.setdefault(message.channel, []).append(WheelPoint(tick, semitones))
        elif kind == "control_change":
            self._control(message)

    def _control(self, message: Any) -> None:
        """Modulation, and how far the pitch wheel reaches: registered parameter 0 of MIDI 1.0."""
        values = self._parameters.setdefault(message.channel, {})
        values[message.control] = message.value
        if message.control == 1:
            self._modulated[message.channel] = message.value > 0
        if message.control in (6, 38) and values.get(101) == values.get(100) == 0:
            self._ranges[message.channel] = values.get(6, 2) + values.get(38, 0) / 100

    def _close(self, tick: int, channel: int, midi: int) -> None:
        starts = self._open.get((channel, midi))
        if not starts:
            return
        start, is_vibrato = starts.pop(0)
        if channel == _PERCUSSION:
            self.percussion += 1
            return
        wheel = self._wheel(channel, start, tick)
        self._notes.append(RawNote(start, max(tick, start + 1), midi, channel, wheel, is_vibrato))

    def _wheel(self, channel: int, start: int, end: int) -> tuple[WheelPoint, ...]:
        """The wheel's points while a note sounds, the first at its start; none where the wheel rests."""
        points = self._wheels.get(channel, [])
        first = bisect_right(points, start, key=lambda point: point.tick)
        last = bisect_left(points, end, key=lambda point: point.tick)
        before = points[first - 1].semitones if first else 0.0
        moved = (WheelPoint(start, before), *points[first:last])
        return () if all(abs(point.semitones) < _STILL for point in moved) else moved
