"""A slide whose sign points the other way than its frets."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from tabtools.lint.finding import Edit, Finding, Fix, Severity
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.record import NamedTuple
from tabtools.score import Note, Part
from tabtools.source import Span

BAD = """\
Time: 4/4

e|-5/7-------7\\5---|-5/8---8/5-------|
B|-----------------|-----------------|
G|-----------------|-----------------|
D|-----------------|-----------------|
A|-----------------|-----------------|
E|-----------------|-----------------|
"""
_RISING, _FALLING = "/", "\\"


class _Slide(NamedTuple):
    """A slide as it is typed: its sign, where that stands, and whether its frets rise."""

    sign: str
    span: Span
    first: int
    second: int

    @property
    def right(self) -> bool:
        """Whether the sign points the way of the frets."""
        return (self.sign == _RISING) == (self.second > self.first)


def _check(view: View) -> Iterable[Finding]:
    if view.document.page is None:
        return
    slides = [slide for part in view.score.parts for slide in _slides(part, view.document.source.text)]
    wrong = [slide for slide in slides if not slide.right]
    # Who has one sign for both ways means nothing by it.
    falling = any(slide.sign == _FALLING and slide.right for slide in slides)
    rising = any(slide.sign == _RISING and slide.right for slide in slides)
    if not wrong or 2 * len(wrong) > len(slides) or not (falling and rising):
        return
    for slide in wrong:
        sign = _RISING if slide.sign == _FALLING else _FALLING
        way = "up" if slide.second > slide.first else "down"
        yield RULE.finding(
            f"{slide.first}{slide.sign}{slide.second} goes {way}, and {slide.sign} is for the other way on "
            f"this page: write {slide.first}{sign}{slide.second}, or correct a fret",
            slide.span,
            fixes=(Fix((Edit(slide.span, sign),), f"write {sign}", safe=True),),
        )


def _slides(part: Part, text: str) -> Iterator[_Slide]:
    """The slides of a part between two notes of one row, as typed."""
    for bar in part.bars:
        for string in range(1, len(part.instrument.tuning) + 1):
            notes = [note for event in bar.events for note in event.notes if note.string == string]
            for first, second in pairwise(notes):
                if (slide := _between(first, second, text)) is not None:
                    yield slide


def _between(first: Note, second: Note, text: str) -> _Slide | None:
    if first.span is None or second.span is None or first.fret is None or second.fret is None:
        return None
    between = text[first.span.end : second.span.start].strip("-sS")
    if between not in (_RISING, _FALLING) or first.fret == second.fret:
        return None
    at = text.index(between, first.span.end)
    return _Slide(between, Span(at, at + 1), first.fret, second.fret)


RULE = Rule(
    name="slide-direction",
    group="playability",
    severity=Severity.WARNING,
    what="A slide's sign points the other way than its frets.",
    why=(
        "The sign / rises and \\ falls; where a page uses both, one that contradicts its frets means that "
        "either the sign or a fret is wrong."
    ),
    bad=BAD,
    good=BAD.replace("8/5", "8\\5"),
    fix="safe",
    check=_check,
)
