"""What counts for many notes and is wrong once: divisions, numbers of bars, a metre or key that staves
share."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby

from lxml import etree

from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.edit.insert import set_attribute, set_text
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.located import LocatedBar, LocatedPart
from tabtools.musicxml.reading.values import count, text_of, ticks
from tabtools.source import Span

TYPE = "type-duration-mismatch"
NUMBER = "bar-number"
STAVES = "staves-disagree"
_ENOUGH = 3  # notes


def faults(where: Extents, parts: Sequence[LocatedPart]) -> Iterator[Fault]:
    """The faults of each part."""
    for part in parts:
        yield from _divisions(where, part)
        yield from _numbers(where, part)
        yield from _signatures(where, part)


def _divisions(where: Extents, part: LocatedPart) -> Iterator[Fault]:
    """A fault where every note from one ``divisions`` to the next lasts the same multiple of what it
    shows."""
    for divisions, bars in groupby(part.bars, lambda bar: bar.divisions):
        stretch = list(bars)
        ratio = _shared_ratio(stretch)
        element = next((e for e in stretch[0].content.iterfind("attributes/divisions")), None)
        if ratio is None or element is None:
            continue
        wanted = divisions * ratio
        message = (
            f"every note lasts {ratio} times what it shows: there should be {wanted} divisions of a "
            f"quarter note, "
            f"and not {divisions}"
        )
        span = Span(where[stretch[0].content].start, where[stretch[-1].content].end)
        repair = None
        if Fraction(wanted).denominator == 1:
            words = f"make it {wanted} divisions: so every note lasts what it shows"
            repair = Repair((set_text(where, element, str(wanted)),), words, safe=False, changes=(span,))
        yield Fault(TYPE, where[element].span, message, stretch[0].number, repair, span)


def _shared_ratio(bars: Sequence[LocatedBar]) -> Fraction | None:
    """How much longer all notes last than they show; None where they do not agree, or last what they show."""
    ratios: Counter[Fraction] = Counter()
    for note in (note for bar in bars for note in bar.notes):
        shown = note.written_length
        if (
            shown
            and note.ticks
            and not (note.grace or note.whole_bar or (note.rest and note.value == "whole"))
        ):
            ratios[note.duration / shown] += 1
    if len(ratios) != 1 or ratios.total() < _ENOUGH or 1 in ratios:
        return None
    return next(iter(ratios))


def _numbers(where: Extents, part: LocatedPart) -> Iterator[Fault]:
    """A fault for the one bar of a part whose number does not follow the one before."""
    numbers = [_number(bar) for bar in part.bars]
    if None in numbers:
        return
    known = [number for number in numbers if number is not None]
    odd = [place for place in range(1, len(known)) if known[place] != known[place - 1] + 1]
    if not odd or len(odd) > 2 or (len(odd) == 2 and odd[1] != odd[0] + 1):
        return
    place = odd[0]
    bar, wanted = part.bars[place], known[place - 1] + 1
    slip = place + 1 == len(known) or known[place + 1] == wanted + 1
    message = f"bar {known[place]} follows bar {wanted - 1}: " + (
        f"its number should be {wanted}"
        if slip
        else f"bar {wanted} is missing, or the numbers are wrong from here"
    )
    repair = None
    if slip and bar.element is bar.content:
        edit = set_attribute(where, bar.element, "number", str(wanted))
        repair = Repair((edit,), f"number the bar {wanted}")
    extent = where[bar.element]
    yield Fault(NUMBER, Span(extent.start, extent.inner), message, bar.number, repair)


def _number(bar: LocatedBar) -> int | None:
    return None if bar.element.get("implicit") == "yes" else count(bar.element.get("number"))


def _signatures(where: Extents, part: LocatedPart) -> Iterator[Fault]:
    """A fault where the staves of a part get different metres, or a notation and a tab staff different
    keys."""
    for bar in part.bars:
        for attributes in bar.content.iterfind("attributes"):
            for name, path in (("time", ("beats", "beat-type")), ("key", ("fifths",))):
                elements = [e for e in attributes.iterfind(name) if e.get("number") is not None]
                texts = [tuple(ticks(e.find(child)) for child in path) for e in elements]
                if len(set(texts)) > 1 and (name == "time" or part.tab):
                    yield _disagreeing(where, bar, elements, name)


def _disagreeing(where: Extents, bar: LocatedBar, elements: Sequence[etree._Element], name: str) -> Fault:
    texts = ["/".join(text_of(child) for child in e) for e in elements]
    staves = ", ".join(f"{text} on staff {e.get('number')}" for e, text in zip(elements, texts, strict=True))
    word = "metre" if name == "time" else "key"
    message = (
        f"the staves of the part have different {word}s, {staves}: they show one music; correct one of them"
    )
    return Fault(STAVES, where[elements[-1]].span, message, bar.number)
