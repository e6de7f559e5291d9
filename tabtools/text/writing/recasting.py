"""A page with other notes and words in its own layout: what a moved phrase is written with."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from tabtools.source import Source
from tabtools.text.read import ReadPage
from tabtools.text.writing.drawing import drawings
from tabtools.text.writing.format import (
    NO_COUNTS,
    ONE_LINE,
    WHOLE,
    first_row,
    in_order,
    page_text,
    read_again,
)
from tabtools.text.writing.laying import Recast
from tabtools.text.writing.pieces import Drawing
from tabtools.text.writing.spacing import WIDTH


def recast_text(
    source: Source, read: ReadPage, recast: Recast, reads: Callable[[ReadPage], bool]
) -> str | tuple[tuple[int, str], ...]:
    """The text of a page with other notes and words, where it then ``reads`` as it should; else why not: the
    line of a system's first row, 0 for the page, and the reason."""
    systems = in_order(read)
    for stretch in (1, 2):
        drawn, left = drawings(source, systems, recast._replace(stretch=stretch))
        if left:
            return tuple((first_row(systems[number]), why) for number, why in sorted(left.items()))
        if recast.labels:
            drawn = {number: _restrung(drawing, recast.labels) for number, drawing in drawn.items()}
        for level in (NO_COUNTS, ONE_LINE, WHOLE):
            levels = dict.fromkeys(drawn, level)
            text, _ = page_text(source, systems, drawn, levels, recast.lines, WIDTH)
            after = read_again(source, text)
            if after is not None and reads(after):
                return text
    return ((0, "the page would not read as the music that is meant: run tabtools format on it first"),)


def _restrung(drawing: Drawing, labels: Sequence[str]) -> Drawing:
    """The drawing on other strings: rows more or fewer, with their labels."""
    last = len(drawing.rows) - 1
    rows = [min(number, last) for number in range(len(labels))]
    remarks = [drawing.remarks[number] if number <= last else "" for number in range(len(labels))]
    if len(labels) <= last:
        spare = [remark for remark in drawing.remarks[len(labels) :] if remark]
        remarks = [remark or (spare.pop(0) if spare else "") for remark in remarks]
    return drawing._replace(
        rows=tuple(drawing.rows[number] for number in rows),
        labels=tuple(labels),
        remarks=tuple(remarks),
        lines=[drawing.lines[number] for number in rows],
    )
