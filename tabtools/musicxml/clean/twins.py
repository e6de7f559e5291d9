"""The two copies of a note: on a notation staff, and on the tab staff that shows the same music."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from tabtools.musicxml.located import LocatedNote, LocatedPart
from tabtools.record import NamedTuple
from tabtools.score import Quarters

_MOST = 0.7
_Slot = tuple[int, Quarters, bool]


class Twins(NamedTuple):
    """A part's two copies: the notes that belong together, and those that one copy has alone."""

    pairs: list[tuple[LocatedNote, LocatedNote]]
    notation_only: list[LocatedNote]
    tab_only: list[LocatedNote]


def twins(parts: Sequence[LocatedPart]) -> Iterator[Twins]:
    """The copies within each part, and those of a notation part and the tab part that follows it."""
    for place, part in enumerate(parts):
        notation = _side(note for note in part.notes if not note.in_force.tab)
        tab = _side(note for note in part.notes if note.in_force.tab)
        after = parts[place + 1] if place + 1 < len(parts) else None
        if notation and tab:
            yield _paired(notation, tab)
        elif notation and after is not None and after.tab and not part.tab:
            tab = _side(note for note in after.notes if note.in_force.tab)
            found = _paired(notation, tab)
            if _same_music(found):
                yield found


def _side(notes: Iterator[LocatedNote]) -> dict[_Slot, list[LocatedNote]]:
    found: defaultdict[_Slot, list[LocatedNote]] = defaultdict(list)
    for note in notes:
        if not (note.rest or note.cue or note.auxiliary):
            found[note.bar, note.onset, note.grace].append(note)
    return dict(found)


def _same_music(found: Twins) -> bool:
    same = sum(_same(one, other) for one, other in found.pairs)
    return same >= _MOST * (len(found.pairs) + len(found.notation_only) + len(found.tab_only)) > 0


def _same(one: LocatedNote, other: LocatedNote) -> bool:
    if one.sounding is None or other.sounding is None:
        return one.sounding is other.sounding
    return (one.sounding - other.sounding) % 12 == 0


def _wholly(one: LocatedNote, tab: LocatedNote) -> bool:
    """Whether the tab note's pitch and fret are both the notation's pitch."""
    return one.sounding is not None and one.sounding == tab.sounding == tab.fretted


def _partly(one: LocatedNote, tab: LocatedNote) -> bool:
    return one.sounding is not None and one.sounding in (tab.sounding, tab.fretted)


def _paired(notation: dict[_Slot, list[LocatedNote]], tab: dict[_Slot, list[LocatedNote]]) -> Twins:
    """First the notes that agree in all, then those that agree in part, then what is left by height."""
    found = Twins([], [], [])
    for slot in sorted({*notation, *tab}):
        left, rest = list(notation.get(slot, ())), list(tab.get(slot, ()))
        for agree in (_wholly, _partly, _same):
            for one in tuple(left):
                other = next((note for note in rest if agree(one, note)), None)
                if other is not None:
                    left.remove(one)
                    rest.remove(other)
                    found.pairs.append((one, other))
        left.sort(key=lambda note: note.sounding or 0)
        rest.sort(key=lambda note: note.sounding or 0)
        found.pairs.extend(zip(left, rest, strict=False))
        found.notation_only.extend(left[len(rest) :])
        found.tab_only.extend(rest[len(left) :])
    return found
