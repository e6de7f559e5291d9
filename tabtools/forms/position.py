"""Where the hand is: the position is the fret of the first finger, one finger a fret."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from tabtools.forms.table import BARRE
from tabtools.record import NamedTuple

OPEN = 0
SPAN = 3  # frets from the first finger to the fourth
_NUT = 3  # the highest first fret of an open chord
_FIRST_FRETS = 4  # open strings that sound with frets beyond these are no sign of the open position


class HandPlace(NamedTuple):
    """Where the hand is for some notes; frets count from the capo.

    ``fret`` is the position: the fret of the first finger, 0 for the open position. ``back`` is the lowest
    fret that the hand leaves it for, ``up`` the highest; None where the four fingers have all the notes.
    """

    fret: int
    back: int | None = None
    up: int | None = None


def hand_place(held: Sequence[tuple[int, str | None]]) -> HandPlace:
    """The place of the hand for notes, given as fret and written finger or None.

    Written fingers tell the position. Without them the first finger is at that fret from which four fingers
    have the most notes; of several, at the one where most notes are its own, then at the lowest. Open strings
    near the nut make it the open position.
    """
    fretted = [fret for fret, _ in held if fret]
    if not fretted:
        return HandPlace(OPEN)
    fret = _by_fingers(held) or _by_frets(fretted)
    low, high = min(fretted), max(fretted)
    if len(fretted) < len(held) and high <= _FIRST_FRETS:
        return HandPlace(OPEN)
    return HandPlace(fret, low if low < fret else None, high if high > fret + SPAN else None)


def in_position(position: int, form: str, anchor: int, frets: Sequence[int]) -> bool:
    """Whether a form at an anchor fret, with notes at some frets, may be said to lie in a position.

    The position is the fret of the first finger: the lowest note, or the one above it where the finger
    stretches back. Where that finger rests at the anchor, or lies across strings in the D form, it is there.
    """
    if position in (anchor, anchor + BARRE[form]):
        return True
    low, high = min(frets, default=anchor), max(frets, default=anchor)
    if anchor <= 0 and position <= 1:
        return low <= _NUT
    return position == low or (high - low > SPAN and position == low + 1)


def _by_fingers(held: Sequence[tuple[int, str | None]]) -> int | None:
    """The fret that most of the written fingers 1 stand at, or that the other fingers put them at."""
    fingers = [(fret, int(finger)) for fret, finger in held if fret and finger in ("1", "2", "3", "4")]
    firsts = [fret for fret, finger in fingers if finger == 1]
    places = firsts or [max(1, fret - finger + 1) for fret, finger in fingers]
    return _most(Counter(places)) if places else None


def _by_frets(fretted: Sequence[int]) -> int:
    """The fret from which four fingers have the most notes; of these the one with the most for finger 1."""
    counts = Counter(fretted)
    covered = {fret: sum(counts[fret + finger] for finger in range(SPAN + 1)) for fret in counts}
    return min(counts, key=lambda fret: (-covered[fret], -counts[fret], fret))


def _most(counts: Counter[int]) -> int:
    return min(counts, key=lambda fret: (-counts[fret], fret))
