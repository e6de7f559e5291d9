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
from tabtools.forms.cost import BITS, SAME_STRING, WIDTH, Entry, Sight
from tabtools.forms.cuts import Cut, Ending, FormLabel, RunLabel, chain
from tabtools.forms.evidence import Stroke, moves
from tabtools.forms.lines import Beginning, Boxes, Runs
from tabtools.forms.neck import Stringing
from tabtools.record import NamedTuple
from tabtools.score import Key

_FAR = 1 << 30
_OCTAVE = 12 * WIDTH
_Entries = tuple[Entry, ...]


# A form that is still going on, a plain tuple because thousands are made: number of the label, cost so far,
# degrees that sounded, cost of those that did not, cost of beginning it anew, first stroke, cut before it,
# cost if it closes here.
_Open = tuple[int, int, int, tuple[int, ...], int, int, "Cut | None", int]
_START: Final = 5
_CLOSED: Final = 7


@dataclass(slots=True)
class _Closed:
    """The cheapest cutting up to a stroke, and the cheapest that ends in each form near to it."""

    total: int
    cut: Cut | None
    by_form: dict[int, tuple[int, Cut]]
    by_scale: dict[int, tuple[int, Cut]]  # of boxes, by their minor tonic's fret modulo 12


class Cutting(NamedTuple):
    """The stretches of a part in order, and what they cost."""

    total: int
    cuts: list[Cut]


def cheapest(strokes: Sequence[Stroke], neck: Stringing, keys: Sequence[Key | None], capo: int) -> Cutting:
    """The cheapest cutting; ``keys`` gives the key at each stroke.

    ``capo`` is what chord symbols and keys are above the frets: the instrument's capo, or 0 where the
    symbols are those of the shapes.
    """
    search = _Search(neck, neck.common + capo)
    for stroke, key in zip(strokes, keys, strict=True):
        search.step(stroke, key)
    return Cutting(search.closed.total, chain(search.closed.cut))


class _Search:
    """What is open and closed after the strokes seen so far."""

    def __init__(self, neck: Stringing, shift: int) -> None:
        self.neck = neck
        self.shift = shift
        self.lowest = cost.number(0, neck.lowest)
        self.at = 0
        self.since = 0  # forms that began with this stroke or later have but one string, which is none
        self.cheapest = 0  # of what has been found to end at the stroke
        self.known: dict[int, int] = {}  # what each label costs that goes on
        self.entries: _Entries = cost.entries(None)
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
        if not stroke.single:
            self.since = self.at + 1
        elif self.stroke is None or stroke.single != self.stroke.single:
            self.since = self.at
        begin = self.closed.total + (cost.WITH_CHORD if stroke.turns else 0)
        if stroke.turns or self.stroke is None:
            self.entries = cost.entries(stroke.chord)
        sight = cost.sight(stroke)
        moved = self.stroke is not None and moves(self.stroke, stroke)
        beginning = Beginning(self.at, begin, self.closed.cut)
        joined = self._joined(self.closed.by_scale, stroke, begin)
        self.boxes.step(self.stroke, stroke, beginning, boxcost.foreign(key, self.shift), joined)
        self.runs.step(self.stroke, stroke, beginning)
        self.cheapest = min(self.boxes.cheapest() + [way.total for way in self.runs.ways()])
        forms = self._continued(stroke, sight, moved)
        self._begin(stroke, sight, begin, forms)
        if self.earlier is not None and self.closed.total - self.earlier.total >= cost.EXTENSION:
            self._lead_in(stroke, sight, moved, forms)
        self.earlier = _Closed(begin, self.closed.cut, {}, {})
        self.at += 1
        self.closed = self._close(forms)
        self.boxes.keep(self.closed.total)
        self.forms, self.stroke, self.sight = forms, stroke, sight

    def _continued(self, stroke: Stroke, sight: Sight, moved: bool) -> list[_Open]:
        """The open forms with one more stroke; those that can't reach it are gone, and those that cost more
        than one that closes here and begins anew."""
        found: list[_Open] = []
        here, base, turns = sight.values.get, stroke.base * WIDTH, stroke.turns
        there, base_there = self.sight.values, self.stroke.base * WIDTH if self.stroke else 0
        lowest, since = self.cheapest, self.since
        self.known = known = {}
        for label, total, sounded, missing, empty, start, before, _ in self.forms:
            value = here(label - base)
            if value is None:
                continue
            bits = value & BITS
            total += value >> 5
            if moved and bits and there[label - base_there] & BITS:
                total += SAME_STRING
            if turns:
                entry = self.entries[(label + self.shift * WIDTH) % _OCTAVE]
                if not entry.stays:
                    continue
                total += entry.charge
                empty = max(empty, entry.empty)
            sounded |= bits
            closed = total + missing[sounded]
            if closed - empty <= lowest:
                found.append((label, total, sounded, missing, empty, start, before, closed))
                known[label] = total
                if closed < lowest and start < since:
                    lowest = closed
        self.cheapest = lowest
        return found

    def _begin(self, stroke: Stroke, sight: Sight, begin: int, forms: list[_Open]) -> None:
        """Add the forms that may begin with the stroke, but for those that cost no less than one that goes
        on, or than what closes here and begins after it."""
        limit, closes = self.cheapest, self.at < self.since
        joined = self._joined(self.closed.by_form, stroke, begin)
        at, cut, lowest, entries, known = self.at, self.closed.cut, self.lowest, self.entries, self.known
        base, shift = stroke.base * WIDTH, self.shift * WIDTH
        for above, fq, price, bits in sight.fresh:
            label = base + above
            opening, _, missing, empty, _ = entries[(label + shift) % _OCTAVE]
            before, total = cut, begin + opening + price
            if fq in joined:
                first, before = joined[fq]
                total += first - begin
            closed = total + missing[bits]
            if closed - empty <= limit and label >= lowest and known.get(label, _FAR) > total:
                forms.append((label, total, bits, missing, empty, at, before, closed))
                known[label] = total
                if closes and closed < self.cheapest:
                    self.cheapest = closed

    def _joined(
        self, ways: dict[int, tuple[int, Cut]], stroke: Stroke, begin: int
    ) -> dict[int, tuple[int, Cut]]:
        """Where the same form or scale went before elsewhere, what moving it costs; a slide helps."""
        bonus = (cost.SLID if stroke.slides else cost.MOVED) + begin - self.closed.total
        moved = ((same, total + bonus, cut) for same, (total, cut) in ways.items())
        return {same: (total, cut) for same, total, cut in moved if total < begin}

    def _lead_in(self, stroke: Stroke, sight: Sight, moved: bool, forms: list[_Open]) -> None:
        """Add the forms whose first grip note is this stroke, and that began one stroke earlier."""
        earlier, lead = self.earlier, self.stroke
        assert earlier is not None
        assert lead is not None
        known, entries, there = self.known, self.entries, self.sight.values.get
        base, base_there, shift = stroke.base * WIDTH, lead.base * WIDTH, self.shift * WIDTH
        begun, at = cost.entries(lead.chord) if stroke.turns else entries, self.at - 1
        for above, _, price, bits in sight.fresh:
            label = base + above
            value = there(label - base_there)
            if value is None or label < self.lowest:
                continue
            opening, _, missing, empty, _ = begun[(label + shift) % _OCTAVE]
            total = earlier.total + opening + price + (value >> 5)
            if moved and value & BITS:
                total += SAME_STRING
            if stroke.turns:
                entry = entries[(label + shift) % _OCTAVE]
                if not entry.stays:
                    continue
                total += entry.charge
                empty = max(empty, entry.empty)
            if total < known.get(label, _FAR):
                sounded = bits | value & BITS
                closed = total + missing[sounded]
                forms.append((label, total, sounded, missing, empty, at, earlier.cut, closed))
                if at < self.since and closed < self.cheapest:
                    self.cheapest = closed

    def _close(self, forms: list[_Open]) -> _Closed:
        """The cheapest cutting that ends here. Ties: the longer segment, then the order of the labels."""
        limit, since = self.cheapest - cost.SLID, self.since
        near = [
            Ending(state[_CLOSED], state[_START], FormLabel(state[0] % WIDTH, state[0] // WIDTH), state[6])
            for state in forms
            if state[_CLOSED] <= limit and state[_START] < since
        ]
        boxes = list(self.boxes.ways(limit))
        lowest = [way for way in (*near, *boxes, *self.runs.ways()) if way.total == limit + cost.SLID]
        best = min(lowest, key=lambda way: way.rank)
        by_form: dict[int, tuple[int, Cut]] = {}
        by_scale: dict[int, tuple[int, Cut]] = {}
        for way in (*near, *boxes):
            assert not isinstance(way.label, RunLabel)
            form = isinstance(way.label, FormLabel)
            found, same = (by_form, way.label[0]) if form else (by_scale, way.label[1] % 12)
            if way.total < limit and (same not in found or way.total < found[same][0]):
                found[same] = way.total, self._cut(way)
        return _Closed(best.total, self._cut(best), by_form, by_scale)

    def _cut(self, way: Ending) -> Cut:
        return Cut(way.start, self.at, way.label, way.before)
