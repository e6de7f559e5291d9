"""Bars and chords that are alike but for one note."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.lengths import number, units
from tabtools.lint.places import span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.record import NamedTuple
from tabtools.score import Bar, Event, Note, Part, Quarters

BAD = """\
Time: 4/4

e|-0---3-2-0-------|-------0---2---|-0---3-2-1-------|-3-------------|
B|-----------3-0---|-3---3---------|-----------3-0---|---------------|
G|-----------------|---------------|-----------------|---------------|
D|-----------------|---------------|-----------------|---------------|
A|-----------------|---------------|-----------------|---------------|
E|-----------------|---------------|-----------------|---------------|
"""
_FEWEST = 5  # notes of a bar
_OFTEN = 3  # bars that show a rhythm


class _Placed(NamedTuple):
    """A note of a bar and what it is played by: onset, string and fret."""

    event: Event
    note: Note

    @property
    def played(self) -> tuple[Quarters, int | None, int | None]:
        """What two bars are compared by."""
        return self.event.onset, self.note.string, self.note.fret


def _check(view: View) -> Iterable[Finding]:
    for part in view.score.parts:
        yield from _in_part(part)


def _in_part(part: Part) -> Iterable[Finding]:
    notes = [
        [_Placed(event, note) for event in bar.events for note in event.notes if not event.grace]
        for bar in part.bars
    ]
    for bar, model, place in _pairs(notes, part.bars):
        yield _finding(part.bars[bar], part.bars[model], notes[model][place], notes[bar][place])
    yield from _lacking(notes, part.bars)
    yield from _left_out(notes, part.bars)


def _lacking(notes: Sequence[list[_Placed]], bars: Sequence[Bar]) -> Iterator[Finding]:
    """The one bar without a note that all other bars of its rhythm have at its time; a last note that is left
    out makes the one before it longer, as at the end of a phrase."""
    onsets = [tuple(dict.fromkeys(placed.event.onset for placed in bar)) for bar in notes]
    usual, times = Counter(onsets).most_common(1)[0] if onsets else ((), 0)
    if times < _OFTEN or len(usual) < _FEWEST - 1:
        return
    lacking = [
        (bar, absent[0])
        for bar, own in zip(bars, onsets, strict=True)
        if set(own) < set(usual) and len(absent := [onset for onset in usual[:-1] if onset not in own]) == 1
    ]
    if len(lacking) == 1:
        bar, onset = lacking[0]
        yield RULE.finding(
            f"bar {bar.number} has no note on beat {number(units(onset, bar) + 1)}, where {times} other bars "
            "have one; nothing to do if it is meant",
            span_of(bar),
            bar=bar.number,
        )


def _left_out(notes: Sequence[list[_Placed]], bars: Sequence[Bar]) -> Iterator[Finding]:
    """A struck chord that comes again in its bar with one string more."""
    for bar, placed in zip(bars, notes, strict=True):
        grips = [(event, frozenset((n.string, n.fret) for n in event.notes)) for event in _events(placed)]
        fullest = Counter(grip for _, grip in grips if len(grip) > 2).most_common(1)
        for grip, count in fullest:
            for event, strings in grips:
                if count >= 2 and strings < grip and len(strings) == len(grip) - 1:
                    ((string, fret),) = grip - strings
                    yield RULE.finding(
                        f"this chord leaves out string {string}, fret {fret}, which the others of bar "
                        f"{bar.number} have; nothing to do if it is meant",
                        span_of(event, bar),
                        bar=bar.number,
                    )


def _events(placed: Sequence[_Placed]) -> list[Event]:
    return list({id(one.event): one.event for one in placed}.values())


def _symbols(bar: Bar) -> tuple[str, ...]:
    return tuple(harmony.symbol for harmony in bar.harmonies)


def _pairs(notes: Sequence[list[_Placed]], bars: Sequence[Bar]) -> Iterator[tuple[int, int, int]]:
    """Each bar that differs in one note from a bar before it, the first such bar, and the note's place.

    Both have the same symbols. A bar is known by all of its notes but one, so that it is not compared with
    every other.
    """
    seen: dict[object, tuple[tuple[int, int], tuple[int, int] | None]] = {}
    numbers: dict[object, int] = {}
    for index, (bar, placed) in enumerate(zip(bars, notes, strict=True)):
        if len(placed) < _FEWEST:
            continue
        played = [numbers.setdefault(one.played, len(numbers)) for one in placed]
        onsets = [numbers.setdefault(one.event.onset, len(numbers)) for one in placed]
        models = []
        for place, (note, onset) in enumerate(zip(played, onsets, strict=True)):
            key = (_symbols(bar), place, onset, *played[:place], *played[place + 1 :])
            first, second = seen.setdefault(key, ((index, note), None))
            if first[1] == note:
                models += [(second[0], place)] if second else []
            else:
                models.append((first[0], place))
                seen[key] = first, second or (index, note)
        if models:
            yield index, *min(models)


def _finding(bar: Bar, other: Bar, was: _Placed, is_now: _Placed) -> Finding:
    here, there = is_now.note, was.note
    return RULE.finding(
        f"bar {bar.number} is bar {other.number} but for one note: string {here.string}, fret {here.fret} "
        f"here, string {there.string}, fret {there.fret} there; nothing to do if it is meant",
        span_of(here, is_now.event, bar),
        related=(span_of(there, was.event, other),),
        bar=bar.number,
    )


RULE = Rule(
    name="nearly-alike",
    group="harmony",
    severity=Severity.INFO,
    what="Two bars, or two chords of one, are alike but for one note.",
    why=(
        "A variation looks like that, and so does a slip in a bar that was copied. Only bars of five notes "
        "or more with the same chords are compared."
    ),
    bad=BAD,
    good=BAD.replace("3-2-1", "3-2-0"),
    check=_check,
)
