"""Remarks in a file that silence rules: read, applied, and reported where they no longer silence anything.

One form for text tab and for comments of MusicXML: ``tabtools: ignore RULE, RULE in line because REASON``,
with ``line``, ``system`` or ``file``. Where no reach is given, a remark right of a string row is about that
line, and one on a line of its own, or in MusicXML, about the system; a system of MusicXML is the measure.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from tabtools.document import Document
from tabtools.lint.finding import Finding
from tabtools.lint.plan import Plan
from tabtools.lint.rules.housekeeping import ignore_without_reason, unknown_ignore, unused_ignore
from tabtools.source import REMARK, Source, Span

NEVER = ("internal", "unreadable")
_HOUSEKEEPING = (*NEVER, "unused-ignore", "unknown-ignore", "ignore-without-reason")
_FORM = (
    r"(?P<names>(?!in\b|because\b)[a-z-]+(?:(?:\s*,\s*|\s+and\s+|\s+)(?!in\b|because\b)[a-z-]+)*)"
    r"(?:\s+in\s+(?:this\s+)?(?P<reach>line|system|file))?(?:[\s,:]+because\s+(?P<reason>\S.*?))?[\s.)\]]*"
)
_NAME = r"[a-z]+(?:-[a-z]+)+"
_BLANK = " \t"


@dataclass(slots=True)
class Ignore:
    """One remark: the rules that it names with their places, what it reaches, and which of them it silenced.

    ``comment`` is what goes when the remark goes.
    """

    names: tuple[tuple[str, Span], ...]
    reach: Span
    remark: Span
    comment: Span
    reason: bool
    used: set[str] = field(default_factory=set)

    def silences(self, name: str, span: Span) -> bool:
        """Whether a finding of this rule at this place is silenced; remembers it."""
        if self.reach.start <= span.start < self.reach.end and any(name == own for own, _ in self.names):
            self.used.add(name)
            return True
        return False


def ignores(document: Document) -> tuple[tuple[Ignore, ...], tuple[Span, ...]]:
    """The remarks of a document, and the places of those that can't be understood."""
    text = document.source.text
    good, bad = [], []
    for match in REMARK.finditer(text):
        if document.tree is not None and text.rfind("<!--", 0, match.start()) <= text.rfind(
            "-->", 0, match.start()
        ):
            continue
        form = re.fullmatch(r"ignore\s+" + _FORM, match["words"])
        if form is None:
            bad.append(Span(match.start(), match.end()))
            continue
        start = match.start("words")
        names = tuple(
            (name.group(), Span(start + name.start(), start + name.end()))
            for name in re.finditer(_NAME + r"|[a-z]+", match["words"])
            if form.start("names") <= name.start() < form.end("names") and name.group() != "and"
        )
        remark = Span(match.start(), match.end())
        reach = _reach(document, remark, form["reach"])
        good.append(Ignore(names, reach, remark, _comment(document, remark), form["reason"] is not None))
    return tuple(good), tuple(bad)


def silenced(findings: Iterable[Finding], remarks: Sequence[Ignore]) -> list[Finding]:
    """The findings that no remark silences."""
    return [
        finding
        for finding in findings
        if finding.rule in NEVER or not silences(remarks, finding.rule, finding.span)
    ]


def silences(remarks: Iterable[Ignore], name: str, span: Span) -> bool:
    """Whether any remark silences a rule at a place; all that do are used."""
    return sum(remark.silences(name, span) for remark in remarks) > 0


def about_remarks(
    source: Source, remarks: Sequence[Ignore], bad: Sequence[Span], plan: Plan, known: Sequence[str]
) -> list[Finding]:
    """The findings about the remarks themselves; ``known`` are the names of all rules there are."""
    found = [unknown_ignore.unreadable(span) for span in bad]
    for ignore in remarks:
        for name, span in ignore.names:
            if name not in known:
                found.append(unknown_ignore.unknown(name, span, known))
            elif name in _HOUSEKEEPING:
                found.append(unknown_ignore.never(name, span))
        if not ignore.reason:
            found.append(ignore_without_reason.finding(ignore.remark))
        found += _unused(source, ignore, plan, known)
    return [active.graded(finding) for finding in found if (active := plan.active(finding.rule)) is not None]


def _unused(source: Source, ignore: Ignore, plan: Plan, known: Sequence[str]) -> Iterable[Finding]:
    """A finding for each rule that ran and that the remark does not silence."""
    idle = [(name, span) for name, span in ignore.names if _ran(plan, name) and name not in ignore.used]
    kept = [name for name, _ in ignore.names if name not in {name for name, _ in idle}]
    for name, span in idle:
        if kept:
            names = Span(ignore.names[0][1].start, ignore.names[-1][1].end)
            yield unused_ignore.finding(name, span, names, ", ".join(kept))
        else:
            yield unused_ignore.finding(name, span, ignore.comment, "")


def _ran(plan: Plan, name: str) -> bool:
    active = plan.active(name)
    # What several files decide is not known after one of them.
    return active is not None and active.rule.collect is None and name not in _HOUSEKEEPING


def _reach(document: Document, remark: Span, said: str | None) -> Span:
    """The stretch of the file that a remark is about."""
    source = document.source
    if said == "file":
        return Span(0, len(source.text) + 1)
    if document.tree is not None:
        return _xml_line(source, remark) if said == "line" else _measure(source, remark)
    number, _ = source.position(remark.start)
    own_line = not _is_row(document, number)
    if said == "line" or (said is None and not own_line):
        return _line(source, number + 1 if own_line else number)
    return _system(document, number)


def _is_row(document: Document, number: int) -> bool:
    systems = document.page.systems if document.page else ()
    return any(row.line.number == number for system in systems for row in system.rows)


def _line(source: Source, number: int) -> Span:
    starts = source.line_starts
    if number > len(starts):
        return Span(len(source.text), len(source.text))
    return Span(starts[number - 1], starts[number] if number < len(starts) else len(source.text) + 1)


def _system(document: Document, number: int) -> Span:
    """From the lines above a system to those below it: around a line, else the next, else the last."""
    source = document.source
    spans = []
    for system in document.page.systems if document.page else ():
        spans.append((system.first, system.last))
    for first, last in sorted(spans):
        if number <= last:
            return Span(_line(source, first).start, _line(source, last).end)
    first, last = max(spans, default=(number, number))
    return Span(_line(source, first).start, _line(source, last).end)


def _xml_line(source: Source, remark: Span) -> Span:
    """The line of a comment; where it stands alone there, the next one."""
    text = source.text
    number, column = source.position(text.rfind("<!--", 0, remark.start))
    alone = not source.line(number)[: column - 1].strip()
    end = text.find("-->", remark.start)
    last, after = source.position(end + 3 if end >= 0 else len(text))
    alone = alone and not source.line(last)[after - 1 :].strip()
    return _line(source, last + 1 if alone else last)


def _measure(source: Source, remark: Span) -> Span:
    """The measure around a place, else the next one."""
    text = source.text
    start = max(text.rfind("<measure ", 0, remark.start), text.rfind("<measure>", 0, remark.start))
    if start < text.rfind("</measure>", 0, remark.start) or start < 0:
        start = text.find("<measure", remark.start)
    end = text.find("</measure>", remark.start)
    return Span(start, end) if 0 <= start < end else Span(remark.start, remark.start)


def _comment(document: Document, remark: Span) -> Span:
    """What to cut so that a remark is gone: it or the comment around it, at the end of a line with the
    blanks before it, and the whole line where nothing else stands there."""
    source, text = document.source, document.source.text
    start, end = remark.start, remark.end
    if document.tree is not None:
        start, end = text.rfind("<!--", 0, start), text.find("-->", end) + 3
    stop = min(_line(source, source.position(end)[0]).end, len(text))
    if text[end:stop].strip():
        return Span(start, end)
    while start > 0 and text[start - 1] in _BLANK:
        start -= 1
    alone = start == _line(source, source.position(start)[0]).start
    return Span(start, stop if alone else end)
