"""Notes outside key and chord that are hardly slips: they come again elsewhere, or lead somewhere.

Of tunes that leave their key for a moment: the leading note of the dominant, which rises to it, and the
seventh over the tonic, which falls; leading notes of the second and the sixth, and minor's of its tonic in
the other modes. Common practice, no source.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from functools import cached_property

from tabtools.lint.melody import Judged
from tabtools.score import Bar, Quarters
from tabtools.theory.spelling import spell

_LEADING = ("#4", "b7")
_LEADING_FROM_AFAR = ("#1", "#5", "7")

_Music = tuple[tuple[Quarters, tuple[tuple[int | None, int | None], ...]], ...]


class Foreign:
    """The notes outside among all that were judged, and what explains them; built once for a score."""

    def __init__(self, judged: Sequence[Judged]) -> None:
        self.notes = [note for note in judged if note.verdict.name == "outside"]
        self._judged = judged
        self._music: dict[int, _Music] = {}
        self._alike: dict[tuple[int, int], dict[_Music, int]] = {}
        for note in self.notes:
            self._alike.setdefault(_kind(note), {}).setdefault(self._sounds(note.bar), note.bar.number)

    @cached_property
    def _lines(self) -> dict[int, dict[Quarters, set[int]]]:
        """What sounds in each part by onset, but for what is foreign."""
        lines: dict[int, dict[Quarters, set[int]]] = {}
        for note in self._judged:
            sounding = lines.setdefault(note.part, {}).setdefault(note.melody.onset, set())
            if note.verdict.level != "warning":
                sounding.add(note.melody.target)
        return lines

    @cached_property
    def _onsets(self) -> dict[int, list[Quarters]]:
        return {part: sorted(line) for part, line in self._lines.items()}

    def meant(self, note: Judged) -> str:
        """Why a note outside is hardly a slip, in words; nothing where it may well be one."""
        own = self._sounds(note.bar)  # a slip is copied with its bar
        alike = (number for music, number in self._alike[_kind(note)].items() if music != own)
        number = next(alike, None)
        return self._led(note) if number is None else f" (as in bar {number})"

    def _led(self, note: Judged) -> str:
        """Where a foreign note leads, in words; nothing where it leads nowhere."""
        pitch, degree = note.melody.target, note.verdict.degree or ""
        before, after, beyond = self._around(note)
        over = {pitch + 2, pitch + 3}
        if pitch + 1 in before and (pitch + 1 in after or (after & over and pitch + 1 in beyond)):
            return f" (it turns about {_name(pitch + 1, note)})"
        if degree == "b7" and pitch + 2 in before & after:
            return f" (it turns about {_name(pitch + 2, note)})"
        if degree == "#4" and pitch + 1 in before:
            return f" (it steps down from {_name(pitch + 1, note)} as in the key of that)"
        goal = pitch - 1 if degree == "b7" else pitch + 1
        # In a run upwards the step that is a semitone too short is as likely a slip, but for the dominant's.
        run = before & {pitch - 1, pitch - 2}
        if goal in after and (degree in _LEADING or (degree in _LEADING_FROM_AFAR and not run)):
            return f" (it leads into the next note, {_name(goal, note)})"
        return ""

    def _around(self, note: Judged) -> tuple[set[int], set[int], set[int]]:
        """What sounds before a note, after it, and after that, as MIDI numbers that are not foreign."""
        onsets, line = self._onsets[note.part], self._lines[note.part]
        first, last = bisect_left(onsets, note.melody.onset), bisect_right(onsets, note.melody.onset)
        places = (first - 1, last, last + 1)
        before, after, beyond = (line[onsets[at]] if 0 <= at < len(onsets) else set() for at in places)
        return before, after, beyond

    def _sounds(self, bar: Bar) -> _Music:
        """What a bar sounds, wherever it stands in the file."""
        if id(bar) not in self._music:
            self._music[id(bar)] = tuple(
                (event.onset, tuple((note.string, note.fret) for note in event.notes)) for event in bar.events
            )
        return self._music[id(bar)]


def _kind(note: Judged) -> tuple[int, int]:
    return note.part, note.melody.target % 12


def _name(pitch: int, note: Judged) -> str:
    return spell(pitch, note.key).letter
