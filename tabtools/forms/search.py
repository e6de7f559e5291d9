"""The cheapest way to cut a run of notes into forms, boxes and runs: one exact search from left to right.

What is open at a stroke is a label with the degrees that have sounded so far; what is closed is the cheapest
cutting of everything before. A label is dropped for good where cutting here and beginning it anew costs no
more: whatever follows, that way is as good. So the work for a stroke does not grow with the length.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from tabtools.forms import boxcost, cost
from tabtools.forms.cost import BITS, BLOCKED, SAME_STRING, Entry, Sight
from tabtools.forms.cuts import Cut, FormLabel, RunLabel, Way, chain
from tabtools.forms.evidence import Stroke, moves
from tabtools.forms.lines import Beginning, Boxes, Runs
from tabtools.forms.neck import Neck
from tabtools.score import Key

_FAR = 1 << 30
_NOT_HERE = BLOCKED << 5
_Entries = tuple[tuple[Entry, ...], ...]


# A form that is still going on, a plain tuple because thousands are made: anchor, fq, cost so far, degrees
# that sounded, cost of those that did not, its only string so far or 0, cost of beginning it anew, first
# stroke, cut before it, cost if it closes here.
_Open = tuple[int, int, int, int, tuple[int, ...], int, int, int, "Cut | None", int]
_SINGLE: Final = 5
_EMPTY: Final = 6
_CLOSED: Final = 9


@dataclass(slots=True)
class _Closed:
    """The cheapest cutting up to a stroke, and the cheapest that ends in each form near to it."""

    total: int
    cut: Cut | None
    by_form: dict[int, tuple[int, Cut]]
    by_scale: dict[int, tuple[int, Cut]]  # of boxes, by their minor tonic's fret modulo 12


def segments(strokes: Sequence[Stroke], neck: Neck, keys: Sequence[Key | None], capo: int) -> list[Cut]:
    """The cheapest cutting, in order; ``keys`` gives the key at each stroke.

    ``capo`` is what chord symbols and keys are above the frets: the instrument's capo, or 0 where the
    symbols are those of the shapes.
    """
    return chain(_cheapest(strokes, neck, keys, capo).cut)


def total(strokes: Sequence[Stroke], neck: Neck, keys: Sequence[Key | None], capo: int) -> int:
    """What the cheapest cutting costs."""
    return _cheapest(strokes, neck, keys, capo).total


def _cheapest(strokes: Sequence[Stroke], neck: Neck, keys: Sequence[Key | None], capo: int) -> _Closed:
    search = _Search(neck, neck.common + capo)
    for stroke, key in zip(strokes, keys, strict=True):
        search.step(stroke, key)
    return search.closed


class _Search:
    """What is open and closed after the strokes seen so far."""

    def __init__(self, neck: Neck, shift: int) -> None:
        self.neck = neck
        self.shift = shift
        self.lowest = neck.lowest
        self.at = 0
        self.closed = _Closed(0, None, {}, {})
        self.earlier: _Closed | None = None  # one stroke ago
        self.forms: list[_Open] = []
        self.boxes, self.runs = Boxes(), Runs()
        self.stroke: Stroke | None = None
        self.sight = Sight({}, ())

    def step(self, stroke: Stroke, key: Key | None) -> None:
        """Take in one more stroke."""
        if stroke.breaks:
            self.forms, self.boxes, self.runs, self.earlier = [], Boxes(), Runs(), None
        begin = self.closed.total + (cost.WITH_CHORD if stroke.turns else 0)
        sight, entries = cost.sight(stroke), cost.entries(stroke.chord)
        moved = self.stroke is not None and moves(self.stroke, stroke)
        beginning = Beginning(self.at, begin, self.closed.cut)
        joined = self._joined(self.closed.by_scale, stroke, begin)
        self.boxes.step(self.stroke, stroke, beginning, boxcost.foreign(key, self.shift), joined)
        self.runs.step(self.stroke, stroke, beginning)
        forms = self._continued(stroke, sight, entries, moved)
        self._begin(stroke, sight, entries, begin, forms)
        if self.earlier is not None and self.closed.total - self.earlier.total >= cost.EXTENSION:
            self._lead_in(stroke, sight, entries, moved, forms)
        self.earlier = _Closed(begin, self.closed.cut, {}, {})
        self.at += 1
        self.closed = self._close(forms)
        limit = self.closed.total
        self.forms = [state for state in forms if state[_CLOSED] - state[_EMPTY] <= limit]
        self.boxes.keep(limit)
        self.stroke, self.sight = stroke, sight

    def _continued(self, stroke: Stroke, sight: Sight, entries: _Entries, moved: bool) -> list[_Open]:
        """The open forms with one more stroke; those that can't reach it are gone."""
        found: list[_Open] = []
        rows, base, only = sight.rows, stroke.base, stroke.single
        for anchor, fq, total, sounded, missing, single, empty, start, before, _ in self.forms:
            row = rows.get(anchor - base)
            if row is None:
                continue
            value = row[fq]
            if value >= _NOT_HERE:
                continue
            bits = value & BITS
            total += value >> 5
            if moved and bits and self._sounded(anchor, fq):
                total += SAME_STRING
            if stroke.turns:
                entry = entries[(anchor + self.shift) % 12][fq]
                total += entry.charge
                empty = max(empty, entry.empty)
            sounded |= bits
            if single != only:
                single = 0
            closed = total + missing[sounded]
            found.append((anchor, fq, total, sounded, missing, single, empty, start, before, closed))
        return found

    def _sounded(self, anchor: int, fq: int) -> int:
        """The bits of a label's degrees in the stroke before."""
        assert self.stroke is not None
        return self.sight.rows[anchor - self.stroke.base][fq] & BITS

    def _begin(self, stroke: Stroke, sight: Sight, entries: _Entries, begin: int, forms: list[_Open]) -> None:
        """Add the forms that may begin with the stroke, but for those that cost no less than one that goes
        on, or than what closes here and begins after it."""
        others = [way.total for way in (*self.boxes.ways(), *self.runs.ways())]
        limit = min([s[_CLOSED] for s in forms if not s[_SINGLE]] + others)
        known = {(state[0], state[1]): state[2] for state in forms}
        joined = self._joined(self.closed.by_form, stroke, begin)
        at, cut, base, lowest, shift = self.at, self.closed.cut, stroke.base, self.lowest, self.shift
        for above, fq, price, bits in sight.fresh:
            anchor = base + above
            opening, _, missing, empty = entries[(anchor + shift) % 12][fq]
            before, first = cut, begin
            if fq in joined:
                first, before = joined[fq]
            total = first + opening + price
            closed = total + missing[bits]
            if closed - empty <= limit and anchor >= lowest and known.get((anchor, fq), _FAR) > total:
                forms.append((anchor, fq, total, bits, missing, stroke.single, empty, at, before, closed))

    def _joined(
        self, ways: dict[int, tuple[int, Cut]], stroke: Stroke, begin: int
    ) -> dict[int, tuple[int, Cut]]:
        """Where the same form or scale went before elsewhere, what moving it costs; a slide helps."""
        bonus = (cost.SLID if stroke.slides else cost.MOVED) + begin - self.closed.total
        moved = ((same, total + bonus, cut) for same, (total, cut) in ways.items())
        return {same: (total, cut) for same, total, cut in moved if total < begin}

    def _lead_in(
        self, stroke: Stroke, sight: Sight, entries: _Entries, moved: bool, forms: list[_Open]
    ) -> None:
        """Add the forms whose first grip note is this stroke, and that began one stroke earlier."""
        earlier, lead = self.earlier, self.stroke
        assert earlier is not None
        assert lead is not None
        known = {(state[0], state[1]): state[2] for state in forms}
        at, rows = self.at - 1, self.sight.rows
        single = stroke.single if stroke.single == lead.single else 0
        for above, fq, price, bits in sight.fresh:
            anchor = stroke.base + above
            row = rows.get(anchor - lead.base)
            if anchor < self.lowest or row is None or row[fq] >= _NOT_HERE:
                continue
            opening, _, missing, empty = entries[(anchor + self.shift) % 12][fq]
            value = row[fq]
            total = earlier.total + opening + price + (value >> 5)
            if moved and value & BITS:
                total += SAME_STRING
            if total < known.get((anchor, fq), _FAR):
                sounded = bits | value & BITS
                closed = total + missing[sounded]
                forms.append((anchor, fq, total, sounded, missing, single, empty, at, earlier.cut, closed))

    def _close(self, forms: list[_Open]) -> _Closed:
        """The cheapest cutting that ends here. Ties: the longer segment, then the order of the labels."""
        limit = min([s[_CLOSED] for s in forms if not s[_SINGLE]] or [_FAR]) - cost.SLID
        near = [
            Way(closed, start, FormLabel(fq, anchor), before)
            for anchor, fq, _, _, _, single, _, start, before, closed in forms
            if closed <= limit and not single
        ]
        boxes = list(self.boxes.ways())
        lowest = min(way.total for way in (*near, *boxes, *self.runs.ways()))
        ways = [way for way in (*near, *boxes, *self.runs.ways()) if way.total == lowest]
        best = min(ways, key=lambda way: way.rank)
        limit = best.total - cost.SLID
        by_form: dict[int, tuple[int, Cut]] = {}
        by_scale: dict[int, tuple[int, Cut]] = {}
        for way in (*near, *boxes):
            label = way.label
            assert not isinstance(label, RunLabel)
            found, same = (
                (by_form, label.fq) if isinstance(label, FormLabel) else (by_scale, label.tonic % 12)
            )
            if way.total < limit and (same not in found or way.total < found[same][0]):
                found[same] = way.total, self._cut(way)
        return _Closed(best.total, self._cut(best), by_form, by_scale)

    def _cut(self, way: Way) -> Cut:
        return Cut(way.start, self.at, way.label, way.before)
