"""The cheapest way to cut a run of notes into forms, boxes and runs: one exact search from left to right.

What is open at a stroke is a label with the degrees that have sounded so far; what is closed is the cheapest
cutting of everything before. A label is dropped for good where cutting here and beginning it anew costs no
more: whatever follows, that way is as good. So the work for a stroke does not grow with the length.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

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


class _Open(NamedTuple):
    """A form that is still going on. ``single`` is its only string so far, or 0; ``empty`` what it costs to
    begin it anew, ``ahead`` what closing it here costs above that."""

    anchor: int
    fq: int
    total: int
    sounded: int
    missing: tuple[int, ...]
    single: int
    empty: int
    start: int
    before: Cut | None
    ahead: int


class _OpenBox(NamedTuple):
    """A box, or a run, that is still going on; a run counts its notes in ``sounded``."""

    total: int
    sounded: int
    start: int
    before: Cut | None


@dataclass(slots=True)
class _Closed:
    """The cheapest cutting up to a stroke, and the cheapest that ends in each form near to it."""

    total: int
    cut: Cut | None
    by_form: dict[int, tuple[int, Cut]]


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
        self.lowest = min(0, *(neck.retuned(i + 1) for i in range(len(neck.lines))))
        self.at = 0
        self.closed = _Closed(0, None, {})
        self.earlier: _Closed | None = None  # one stroke ago
        self.forms: list[_Open] = []
        self.boxes: dict[Place, list[_OpenBox]] = {}
        self.runs: dict[int, _OpenBox] = {}
        self.stroke: Stroke | None = None
        self.base, self.sight = 0, Sight({}, ())

    def step(self, stroke: Stroke, key: Key | None) -> None:
        """Take in one more stroke."""
        if stroke.breaks:
            self.forms, self.boxes, self.runs, self.earlier = [], {}, {}, None
        base, sight = cost.sight(stroke.tones, self.neck.frets)
        begin = self.closed.total + (cost.WITH_CHORD if stroke.turns else 0)
        entries = cost.entries(stroke.chord)
        moved = self.stroke is not None and moves(self.stroke, stroke)
        forms = self._continued(stroke, base, sight, entries, moved)
        forms += self._begun(stroke, base, sight, entries, begin, forms)
        forms += self._led_in(base, sight, entries, moved, forms)
        self._step_boxes(stroke, begin, boxcost.foreign(key, self.shift))
        self._step_runs(stroke, begin)
        self.earlier = _Closed(begin, self.closed.cut, {})
        self.at += 1
        self.closed = self._close(forms)
        self.forms = [state for state in forms if state[9] <= self.closed.total]
        self._drop_boxes()
        self.stroke, self.base, self.sight = stroke, base, sight

    def _continued(
        self, stroke: Stroke, base: int, sight: Sight, entries: _Entries, moved: bool
    ) -> list[_Open]:
        """The open forms with one more stroke; those that can't reach it are gone."""
        found: list[_Open] = []
        rows = sight.rows
        only = stroke.tones[0].string if len({tone.string for tone in stroke.tones}) == 1 else 0
        for state in self.forms:
            anchor, fq, total, sounded, missing, single, empty, start, before, _ = state
            row = rows.get(anchor - base)
            if row is None or row[fq] >> 5 >= BLOCKED:
                continue
            value = row[fq]
            bits = value & BITS
            total += value >> 5
            if moved and bits and self.sight.rows[anchor - self.base][fq] & BITS:
                total += SAME_STRING
            if stroke.turns:
                entry = entries[(anchor + self.shift) % 12][fq]
                total += entry.charge
                empty = max(empty, entry.empty)
            sounded |= bits
            if single != only:
                single = 0
            ahead = total + missing[sounded] - empty
            found.append(
                _Open(anchor, fq, total, sounded, missing, single, empty, start, before, ahead)
            )
        return found

    def _begun(
        self,
        stroke: Stroke,
        base: int,
        sight: Sight,
        entries: _Entries,
        begin: int,
        going: list[_Open],
    ) -> list[_Open]:
        """The forms that may begin with the stroke, but for those that have cost no more since earlier."""
        found: list[_Open] = []
        known = {(state[0], state[1]): state[2] for state in going}
        joined = self._joined(stroke, begin)
        cut = self.closed.cut
        for above, fq, price, bits, single in sight.fresh:
            anchor = base + above
            if anchor < self.lowest:
                continue
            opening, _, missing, empty = entries[(anchor + self.shift) % 12][fq]
            before, first = cut, begin
            if fq in joined:
                first, before = joined[fq]
            total = first + opening + price
            if known.get((anchor, fq), _FAR) > total:
                ahead = total + missing[bits] - empty
                found.append(
                    _Open(anchor, fq, total, bits, missing, single, empty, self.at, before, ahead)
                )
        return found

    def _joined(self, stroke: Stroke, begin: int) -> dict[int, tuple[int, Cut]]:
        """Where the same form went before at another anchor, what beginning it costs; a slide helps."""
        bonus = (cost.SLID if stroke.slides else cost.MOVED) + begin - self.closed.total
        ways = ((fq, total + bonus, cut) for fq, (total, cut) in self.closed.by_form.items())
        return {fq: (total, cut) for fq, total, cut in ways if total < begin}

    def _led_in(
        self, base: int, sight: Sight, entries: _Entries, moved: bool, going: list[_Open]
    ) -> list[_Open]:
        """The forms whose first grip note is this stroke, and that began one stroke earlier outside it."""
        earlier = self.earlier
        if earlier is None or self.stroke is None or self.closed.total - earlier.total < cost.EXTENSION:
            return []
        found: list[_Open] = []
        known = {(state[0], state[1]): state[2] for state in going}
        strings = {tone.string for tone in self.stroke.tones}
        for above, fq, price, bits, single in sight.fresh:
            anchor = base + above
            row = self.sight.rows.get(anchor - self.base)
            if anchor < self.lowest or row is None or row[fq] >> 5 >= BLOCKED:
                continue
            opening, _, missing, empty = entries[(anchor + self.shift) % 12][fq]
            lead = row[fq]
            together = SAME_STRING if moved and lead & BITS else 0
            total = earlier.total + opening + price + (lead >> 5) + together
            if total < known.get((anchor, fq), _FAR):
                sounded = bits | lead & BITS
                single = single if strings == {single} else 0
                ahead = total + missing[sounded] - empty
                found.append(
                    _Open(
                        anchor, fq, total, sounded, missing, single, empty, self.at - 1, earlier.cut, ahead
                    )
                )
        return found

    def _step_boxes(self, stroke: Stroke, begin: int, foreign: tuple[int, ...]) -> None:
        row = boxcost.stroke_row(stroke.tones)
        way = boxcost.crossing(self.stroke.tones, stroke.tones) if self.stroke else 0
        going: dict[Place, list[_OpenBox]] = {}
        for place, value in row.items():
            bits, price = value & BITS, value >> 5
            states = [
                _OpenBox(total + price + way, sounded | bits, start, before)
                for total, sounded, start, before in self.boxes.get(place, ())
            ]
            first = begin + boxcost.BOX + foreign[place.tonic % 12] + price
            if bits and (not states or first < states[-1].total):
                states.append(_OpenBox(first, bits, self.at, self.closed.cut))
            if states:
                going[place] = states
        self.boxes = going

    def _drop_boxes(self) -> None:
        limit = self.closed.total + boxcost.EMPTY
        kept = {
            place: [state for state in states if state.total + boxcost.MISSING[state.sounded] <= limit]
            for place, states in self.boxes.items()
        }
        self.boxes = {place: states for place, states in kept.items() if states}

    def _step_runs(self, stroke: Stroke, begin: int) -> None:
        """Runs by the number of notes in their line, 1 up to _LINE; 0 for runs that need be no line."""
        notes, cut = len(stroke.tones), self.closed.cut
        first, each = cost.RUN_NOTE
        going = {0: _OpenBox(begin + first + each * notes, 0, self.at, cut)}
        if 0 in self.runs:
            total, _, start, before = self.runs[0]
            going[0] = min(_OpenBox(total + each * notes, 0, start, before), going[0], key=_order)
        if notes == 1:
            first, each, leap = cost.RUN_STEP
            going[1] = _OpenBox(begin + first + each, 1, self.at, cut)
            each += leap if self._leaps(stroke) else 0
            for count in range(1, _LINE + 1):
                if count in self.runs:
                    total, _, start, before = self.runs[count]
                    longer = min(count + 1, _LINE)
                    state = _OpenBox(total + each, longer, start, before)
                    going[longer] = min(state, going.get(longer, state), key=_order)
        self.runs = going

    def _leaps(self, stroke: Stroke) -> bool:
        return self.stroke is None or abs(self.stroke.tones[0].midi - stroke.tones[0].midi) > _LEAP

    def _close(self, forms: list[_Open]) -> _Closed:
        """The cheapest cutting that ends here. Ties: the longer segment, then the order of the labels."""
        best: tuple[int, int, int, Label, Cut | None] = (_FAR, 0, 0, _RUN, None)
        near: list[tuple[int, _Open]] = []
        limit = _FAR
        for state in forms:
            closed = state[9] + state[6]
            if closed <= limit and not state[5]:
                near.append((closed, state))
                limit = min(limit, closed - cost.SLID)
        for closed, state in near:
            way = (closed, state.start, 0, FormLabel(state.fq, state.anchor), state.before)
            best = min(best, way, key=_rank)
        for place, states in self.boxes.items():
            for state_ in states:
                closed = state_.total + boxcost.MISSING[state_.sounded]
                if closed <= best[0]:
                    best = min(best, (closed, state_.start, 1, place, state_.before), key=_rank)
        for count in (0, _LINE):
            if count in self.runs:
                state_ = self.runs[count]
                best = min(best, (state_.total, state_.start, 2, _RUN, state_.before), key=_rank)
        cut = Cut(best[1], self.at, best[3], best[4])
        return _Closed(best[0], cut, self._by_form(near, best[0]))

    def _by_form(self, near: list[tuple[int, _Open]], best: int) -> dict[int, tuple[int, Cut]]:
        found: dict[int, tuple[int, Cut]] = {}
        for closed, state in near:
            if closed < best - cost.SLID and (state.fq not in found or closed < found[state.fq][0]):
                cut = Cut(state.start, self.at, FormLabel(state.fq, state.anchor), state.before)
                found[state.fq] = closed, cut
        return found


def _order(state: _OpenBox) -> tuple[int, int]:
    return state.total, state.start


def _rank(way: tuple[int, int, int, Label, Cut | None]) -> tuple[int, ...]:
    """The order of ways to close: cost, longest, forms before boxes before runs, then form and anchor."""
    closed, start, kind, label, _ = way
    if isinstance(label, FormLabel):
        form, quality = divmod(label.fq, len(QUALITIES))
        return closed, start, kind, form, label.anchor, quality
    return closed, start, kind, *label
