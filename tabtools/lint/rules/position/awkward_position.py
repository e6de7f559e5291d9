"""Some notes have a much easier way on other strings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tabtools.document import Document
from tabtools.fingering.easier import Easier, easier_ways
from tabtools.fingering.plan import Plan
from tabtools.fingering.readings import plans
from tabtools.lint.finding import Edit, Finding, Fix, Severity
from tabtools.lint.places import span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.score import Event, Note
from tabtools.source import Span
from tabtools.text.page.layout import System

BAD = """\
Tuning: standard
Tempo: 140

   e  e  e  e  e  e  e  e
e|-------------------------|
B|-5--------5--------5-----|
G|-------------------------|
D|----17-19----17-19----19-|
A|-------------------------|
E|-------------------------|
"""


def _check(view: View) -> Iterable[Finding]:
    for plan in view.stage(plans, view.settings.hand):
        for found in easier_ways(plan):
            yield _finding(view.document, plan, found)


def _finding(document: Document, plan: Plan, found: Easier) -> Finding:
    bars = plan.part.bars
    notes: list[tuple[Note, Event, Span]] = []
    for at in found.notes:
        event = bars[at.bar].events[at.event]
        notes.append((event.notes[at.note], event, span_of(event.notes[at.note], event, bars[at.bar])))
    moved = [
        (note, span, place)
        for (note, _, span), place in zip(notes, found.places, strict=True)
        if (note.string, note.fret) != place
    ]
    ways = ", ".join(f"{n.string}/{n.fret} as {string}/{fret}" for n, _, (string, fret) in moved[:8])
    more = f" and {len(moved) - 8} more" if len(moved) > 8 else ""
    message = (
        f"these notes cost the hand {found.written:.1f} small shifts as written and {found.easier:.1f} "
        "elsewhere "
        f"(string/fret): play {ways}{more}, unless the sound of these strings is what you want"
    )
    edits = _edits(document, moved)
    what = "play these notes where the hand is"
    fixes = (Fix(edits, what, safe=False, changes=tuple(span for _, span, _ in moved)),) if edits else ()
    spans = [span for _, span, _ in moved]
    number = bars[found.notes[0].bar].number
    return RULE.finding(message, spans[0], related=tuple(spans[1:]), bar=number, fixes=fixes)


def _edits(document: Document, moved: Sequence[tuple[Note, Span, tuple[int, int]]]) -> tuple[Edit, ...]:
    """The frets on their new strings, in text tab where there is room for all of them; else none."""
    edits: list[Edit] = []
    for note, span, (string, fret) in moved:
        old = document.source.text[span.start : span.end]
        row = _row(document, span, string)
        if row is None or old != str(note.fret) or note.techniques:
            return ()
        width = max(len(old), len(str(fret)))
        if document.source.text[row : row + width].strip("-"):
            return ()
        edits += (Edit(span, "-" * len(old)), Edit(Span(row, row + width), str(fret).ljust(width, "-")))
    return tuple(edits)


def _row(document: Document, span: Span, string: int) -> int | None:
    """The offset in the row of a string that stands in the column of a span."""
    for system in document.page.systems if document.page else ():
        column = _column(system, span)
        if column is not None and string <= len(system.rows):
            line = system.rows[string - 1].line
            return None if line.columns else line.offset + column
    return None


def _column(system: System, span: Span) -> int | None:
    for row in system.rows:
        start = row.line.offset
        if start <= span.start < start + len(row.line.text):
            return None if row.line.columns else span.start - start
    return None


RULE = Rule(
    name="awkward-position",
    group="position",
    severity=Severity.INFO,
    what="Some notes have a much easier way on other strings.",
    why=(
        "The written strings and frets send the hand far along the neck, and the same pitches lie close "
        "together "
        "elsewhere. A sound may be worth the way, so it is a remark; the repair moves the notes and is "
        "offered only "
        "on request. Effort is an estimate for a typical hand: yours and your teacher's judgement count "
        "for more."
    ),
    bad=BAD,
    good=BAD.replace("-5--------5--------5-----", "-17-------17-------17----"),
    fix="unsafe",
    check=_check,
)
