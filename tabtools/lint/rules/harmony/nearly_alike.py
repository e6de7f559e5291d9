"""Two bars that are alike but for one note."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.lint.finding import Finding, Severity
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
    for index, bar in enumerate(part.bars):
        if len(notes[index]) < _FEWEST:
            continue
        for other in range(index):
            odd = _odd(notes[other], notes[index])
            if odd is not None and _symbols(bar) == _symbols(part.bars[other]):
                yield _finding(bar, part.bars[other], *odd)
                break


def _symbols(bar: Bar) -> tuple[str, ...]:
    return tuple(harmony.symbol for harmony in bar.harmonies)


def _odd(model: list[_Placed], own: list[_Placed]) -> tuple[_Placed, _Placed] | None:
    """The one note of a bar that differs from its model's, with the model's; None where more or none do."""
    if len(model) != len(own):
        return None
    pairs = [(one, two) for one, two in zip(model, own, strict=True) if one.played != two.played]
    if len(pairs) != 1 or pairs[0][0].event.onset != pairs[0][1].event.onset:
        return None
    return pairs[0]


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
    what="Two bars are alike but for one note.",
    why=(
        "A variation looks like that, and so does a slip in a bar that was copied. Only bars of five notes "
        "or more with the same chords are compared."
    ),
    bad=BAD,
    good=BAD.replace("3-2-1", "3-2-0"),
    check=_check,
)
