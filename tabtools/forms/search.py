"""The cheapest way to cut a run of notes into forms, boxes and runs: one exact search from left to right.

What is open at a stroke is a label with the degrees that have sounded so far; what is closed is the cheapest
cutting of everything before. A label is dropped for good where cutting here and beginning it anew costs no
more: whatever follows, that way is as good. So the work for a stroke does not grow with the length.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

from tabtools.forms import boxcost, cost
from tabtools.forms.boxcost import Place
from tabtools.forms.cost import BITS, BLOCKED, SAME_STRING, Entry, Sight
from tabtools.forms.evidence import Stroke, moves
from tabtools.forms.neck import Neck
from tabtools.forms.table import QUALITIES
from tabtools.score import Key

_FAR = 1 << 30
_LEAP = 2  # a run goes by steps up to so many semitones
_LINE = 3  # notes that make a line
_NOT_HERE = BLOCKED << 5
_Entries = tuple[tuple[Entry, ...], ...]


class FormLabel(NamedTuple):
    """A form with its quality, as an index of `tabtools.forms.cost.LABELS`, at an anchor fret."""

    fq: int
    anchor: int


class RunLabel(NamedTuple):
    """Motion without a form."""


Label = FormLabel | Place | RunLabel
_RUN = RunLabel()


class Cut(NamedTuple):
    """Strokes ``start`` up to ``end``, not included, under one label; linked to the cut before."""

    start: int
    end: int
    label: Label
    before: Cut | None


# A form that is still going on, a plain tuple because thousands are made: anchor, fq, cost so far, degrees
# that sounded, cost of those that did not, its only string so far or 0, cost of beginning it anew, first
# stroke, cut before it, cost if it closes here.
_Open = tuple[int, int, int, int, tuple[int, ...], int, int, int, "Cut | None", int]
_SINGLE: Final = 5
_EMPTY: Final = 6
_CLOSED: Final = 9


class _OpenBox(NamedTuple):
    """A box, or a run, that is still going on; a run counts its notes in ``sounded``."""

    total: int
    sounded: int
    start: int
    before: Cut | None


_Way = tuple[int, int, int, Label, "Cut | None"]  # cost, first stroke, kind, label, cut before


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
    return _chain(_cheapest(strokes, neck, keys, capo).cut)


def total(strokes: Sequence[Stroke], neck: Neck, keys: Sequence[Key | None], capo: int) -> int:
    """What the cheapest cutting costs."""
    return _cheapest(strokes, neck, keys, capo).total


def _cheapest(strokes: Sequence[Stroke], neck: Neck, keys: Sequence[Key | None], capo: int) -> _Closed:
    search = _Search(neck, neck.common + capo)
    for stroke, key in zip(strokes, keys, strict=True):
        search.step(stroke, key)
    return search.closed


def _chain(cut: Cut | None) -> list[Cut]:
    found: list[Cut] = []
    while cut is not None:
        found.append(cut)
        cut = cut.before
    return found[::-1]


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
        self.boxes: dict[Place, list[_OpenBox]] = {}
        self.runs: dict[int, _OpenBox] = {}
        self.stroke: Stroke | None = None
        self.sight = Sight({}, ())

    def step(self, stroke: Stroke, key: Key | None) -> None:
        """Take in one more stroke."""
        if stroke.breaks:
            self.forms, self.boxes, self.runs, self.earlier = [], {}, {}, None
        begin = self.closed.total + (cost.WITH_CHORD if stroke.turns else 0)
        sight, entries = cost.sight(stroke), cost.entries(stroke.chord)
        moved = self.stroke is not None and moves(self.stroke, stroke)
        self._step_boxes(stroke, begin, boxcost.foreign(key, self.shift))
        self._step_runs(stroke, begin)
        forms = self._continued(stroke, sight, entries, moved)
        self._begin(stroke, sight, entries, begin, forms)
        if self.earlier is not None and self.closed.total - self.earlier.total >= cost.EXTENSION:
            self._lead_in(stroke, sight, entries, moved, forms)
        self.earlier = _Closed(begin, self.closed.cut, {}, {})
        self.at += 1
        self.closed = self._close(forms)
        limit = self.closed.total
        self.forms = [state for state in forms if state[_CLOSED] - state[_EMPTY] <= limit]
        self._drop_boxes()
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
        limit = min([s[_CLOSED] for s in forms if not s[_SINGLE]] + [self._without_forms()])
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

    def _step_boxes(self, stroke: Stroke, begin: int, foreign: tuple[int, ...]) -> None:
        way = boxcost.crossing(self.stroke.tones, stroke.tones) if self.stroke else 0
        joined = self._joined(self.closed.by_scale, stroke, begin)
        going: dict[Place, list[_OpenBox]] = {}
        for place, value in boxcost.stroke_row(stroke.tones).items():
            bits, price = value & BITS, value >> 5
            states = [
                _OpenBox(total + price + way, sounded | bits, start, before)
                for total, sounded, start, before in self.boxes.get(place, ())
            ]
            if bits:
                opening = boxcost.BOX + foreign[place.tonic % 12] + price
                fresh = [_OpenBox(begin + opening, bits, self.at, self.closed.cut)]
                if place.tonic % 12 in joined:
                    total, cut = joined[place.tonic % 12]
                    fresh = [_OpenBox(total + opening, bits | boxcost.MOVED, self.at, cut)]
                if not states or fresh[0].total < states[-1].total:
                    states += fresh
            if states:
                going[place] = states
        self.boxes = going

    def _without_forms(self) -> int:
        """The cost of the cheapest cutting that ends here in a run or a box."""
        closed = [self.runs[count].total for count in (0, _LINE) if count in self.runs]
        for states in self.boxes.values():
            closed += [state.total + boxcost.MISSING[state.sounded] for state in states]
        return min(closed)

    def _drop_boxes(self) -> None:
        limit = self.closed.total + boxcost.EMPTY
        kept = {
            place: [state for state in states if state.total + boxcost.MISSING[state.sounded] <= limit]
            for place, states in self.boxes.items()
        }
        self.boxes = {place: states for place, states in kept.items() if states}

    def _step_runs(self, stroke: Stroke, begin: int) -> None:
        """Runs by the number of strokes in their line, 1 up to _LINE; 0 for runs that need be no line.

        A line is of single notes, or of double stops on the same strings under one chord symbol.
        """
        notes, cut = len(stroke.tones), self.closed.cut
        first, each = cost.RUN_NOTE
        going = {0: _OpenBox(begin + first + each * notes, 0, self.at, cut)}
        if 0 in self.runs:
            total, _, start, before = self.runs[0]
            going[0] = min(_OpenBox(total + each * notes, 0, start, before), going[0], key=_order)
        if notes in cost.RUN_STEP:
            each = cost.RUN_STEP[notes]
            going[1] = _OpenBox(begin + cost.RUN_LINE + each, 1, self.at, cut)
            for count in range(1, _LINE + 1) if self._goes_on(stroke) else ():
                if count in self.runs:
                    total, _, start, before = self.runs[count]
                    longer = min(count + 1, _LINE)
                    state = _OpenBox(total + each + self._leap(stroke), longer, start, before)
                    going[longer] = min(state, going.get(longer, state), key=_order)
        self.runs = going

    def _goes_on(self, stroke: Stroke) -> bool:
        """Whether a stroke may go on with the line of the one before."""
        if self.stroke is None or len(self.stroke.tones) != len(stroke.tones):
            return False
        strings = [[tone.string for tone in one.tones] for one in (self.stroke, stroke)]
        return len(stroke.tones) == 1 or (strings[0] == strings[1] and not stroke.turns)

    def _leap(self, stroke: Stroke) -> int:
        assert self.stroke is not None
        far = abs(self.stroke.tones[0].midi - stroke.tones[0].midi) > _LEAP
        return cost.RUN_LEAP if far else 0

    def _close(self, forms: list[_Open]) -> _Closed:
        """The cheapest cutting that ends here. Ties: the longer segment, then the order of the labels."""
        best: _Way = (_FAR, 0, 0, _RUN, None)
        limit = min([s[_CLOSED] for s in forms if not s[_SINGLE]] or [_FAR]) - cost.SLID
        near = [state for state in forms if state[_CLOSED] <= limit and not state[_SINGLE]]
        for anchor, fq, _, _, _, _, _, start, before, closed in near:
            if closed <= best[0]:
                best = min(best, (closed, start, 0, FormLabel(fq, anchor), before), key=_rank)
        scales: dict[int, tuple[int, Cut]] = {}
        for place, states in self.boxes.items():
            for state_ in states:
                closed = state_.total + boxcost.MISSING[state_.sounded]
                if closed <= scales.get(place.tonic % 12, (limit,))[0]:
                    scales[place.tonic % 12] = closed, Cut(state_.start, self.at, place, state_.before)
                if closed <= best[0]:
                    best = min(best, (closed, state_.start, 1, place, state_.before), key=_rank)
        for count in (0, _LINE):
            if count in self.runs:
                state_ = self.runs[count]
                best = min(best, (state_.total, state_.start, 2, _RUN, state_.before), key=_rank)
        cut = Cut(best[1], self.at, best[3], best[4])
        return _Closed(best[0], cut, self._by_form(near, best[0]), scales)

    def _by_form(self, near: list[_Open], best: int) -> dict[int, tuple[int, Cut]]:
        found: dict[int, tuple[int, Cut]] = {}
        for anchor, fq, _, _, _, _, _, start, before, closed in near:
            if closed < best - cost.SLID and (fq not in found or closed < found[fq][0]):
                found[fq] = closed, Cut(start, self.at, FormLabel(fq, anchor), before)
        return found


def _order(state: _OpenBox) -> tuple[int, int]:
    return state.total, state.start


def _rank(way: _Way) -> tuple[int, ...]:
    """The order of ways to close: cost, longest, forms before boxes before runs, then form and anchor."""
    closed, start, kind, label, _ = way
    if isinstance(label, FormLabel):
        form, quality = divmod(label.fq, len(QUALITIES))
        return closed, start, kind, form, label.anchor, quality
    return closed, start, kind, *label
