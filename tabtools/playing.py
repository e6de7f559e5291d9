"""The order in which the bars of a part are played: repeats, endings, and jumps such as D.C. al Fine."""

from __future__ import annotations

from tabtools.record import NamedTuple
from tabtools.score import Bar, Part

# Where each jump goes to, and what is waited for after it. Common practice, no source.
_JUMPS = {
    "da-capo": (None, None),
    "da-capo-al-fine": (None, "fine"),
    "da-capo-al-coda": (None, "to-coda"),
    "dal-segno": ("segno", None),
    "dal-segno-al-fine": ("segno", "fine"),
    "dal-segno-al-coda": ("segno", "to-coda"),
}


class Pass(NamedTuple):
    """A bar, counted from 0, as it is played: ``number`` says which time through its repeat, from 1."""

    bar: int
    number: int


def played(part: Part) -> tuple[Pass, ...]:
    """The bars of a part in the order in which they are played.

    After a jump, repeats are not played again and the last ending is taken, and no jump is made twice, as is
    common practice. A jump to a sign that is not there goes to the beginning.
    """
    return tuple(_Player(part.bars).play())


class _Player:
    """Walks through the bars once, with what it has to remember."""

    def __init__(self, bars: tuple[Bar, ...]) -> None:
        self._bars = bars
        self._start = 0
        self._number = 1
        self._jumped = False
        self._waits_for: str | None = None

    def play(self) -> list[Pass]:
        order: list[Pass] = []
        place = 0
        while place < len(self._bars):
            bar = self._bars[place]
            if bar.repeat_start and place != self._start:
                self._start, self._number = place, 1
            if self._plays(place):
                order.append(Pass(place, self._number))
                if self._waits_for == "fine" and "fine" in bar.navigation:
                    break
                place = self._after(place)
            else:
                place += 1
        return order

    def _plays(self, place: int) -> bool:
        endings = self._bars[place].endings
        if self._jumped and endings:
            return max(endings) == self._passes(place)
        return not endings or self._number in endings

    def _after(self, place: int) -> int:
        """The bar that follows the one just played."""
        bar = self._bars[place]
        if self._waits_for == "to-coda" and "to-coda" in bar.navigation:
            self._waits_for = None
            return self._place_of("coda", place + 1)
        if bar.repeat_times and not self._jumped and self._number < self._passes(place):
            self._number += 1
            return self._start
        jump = next((name for name in bar.navigation if name in _JUMPS), None)
        if jump is not None and not self._jumped:
            sign, self._waits_for = _JUMPS[jump]
            self._jumped = True
            return 0 if sign is None else self._place_of(sign, 0)
        self._leave(place)
        return place + 1

    def _leave(self, place: int) -> None:
        """Behind the end of a repeat, or of its endings, another may begin."""
        following = self._bars[place + 1].endings if place + 1 < len(self._bars) else ()
        if (self._bars[place].repeat_times or self._bars[place].endings) and not following:
            self._start, self._number = place + 1, 1

    def _passes(self, place: int) -> int:
        """How many times the repeat around a bar is played: by its count, or by its last ending."""
        last = place
        while last + 1 < len(self._bars) and self._bars[last + 1].endings:
            last += 1
        group = self._bars[self._start : last + 1] if self._bars[last].endings else (self._bars[place],)
        counts = [bar.repeat_times for bar in group]
        return max([1, *counts, *(number for bar in group for number in bar.endings)])

    def _place_of(self, sign: str, otherwise: int) -> int:
        return next((n for n, bar in enumerate(self._bars) if sign in bar.navigation), otherwise)
