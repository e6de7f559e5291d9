"""Repairs, applied until there is nothing more to repair; every step is proved before the next one."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from tabtools.document import Document
from tabtools.lint.engine import examine
from tabtools.lint.finding import FileFindings, Finding, Fix, Severity, count
from tabtools.lint.plan import Plan
from tabtools.lint.proof import proved
from tabtools.record import NamedTuple
from tabtools.source import UnreadableError, applied

ROUNDS = 10

Reader = Callable[[str], Document]


class Made(NamedTuple):
    """A repair that was made: the line where it began, from 1, what it did in words, and the rule."""

    line: int
    words: str
    rule: str


class Repaired(NamedTuple):
    """A file after its repairs: the document, what is left to find in it, and the repairs."""

    document: Document
    left: FileFindings
    made: tuple[Made, ...] = ()

    @property
    def text(self) -> str:
        """The text after the repairs."""
        return self.document.source.text

    @property
    def rules(self) -> tuple[str, ...]:
        """The rules whose findings were repaired, once for each repair."""
        return tuple(repair.rule for repair in self.made)


class _Step(NamedTuple):
    """A finding with the repair that was chosen for it."""

    rule: str
    fix: Fix


def repair(document: Document, plan: Plan, read: Reader, *, unsafe: bool = False) -> Repaired:
    """Apply the safe repairs of what a plan finds in a document, and with ``unsafe`` the others too.

    ``read`` makes the document of a changed text. A repair that does not keep what it must keep is left out;
    a file that would be worse in the end, or whose repairs never end, stays as it was. The finding stays and
    says so, but for a repair that is not safe: where a page can be read in several ways, notes that it never
    touched may be read otherwise after it.
    """
    before = examine(document, plan)
    now, found = document, before
    done: list[Made] = []
    faulty: list[_Step] = []
    seen = {document.source.text}
    for _ in range(ROUNDS):
        steps = _choose(found.findings, unsafe, faulty)
        if not steps:
            break
        after, failed = _apply(now, steps, read)
        faulty += failed
        if after is now:
            continue
        done += [_made(now, step) for step in steps if step not in failed]
        now, found = after, examine(after, plan)
        if now.source.text in seen:
            return _unchanged(document, before, _rules(done), "be taken back by another one")
        seen.add(now.source.text)
    else:
        rules = _rules(done) or [step.rule for step in faulty]
        return _unchanged(document, before, rules, "have no end")
    if _badness(found) > _badness(before):
        return _unchanged(document, before, _rules(done), "make the file worse")
    return Repaired(now, _with_faults(found, faulty), tuple(done))


def _made(document: Document, step: _Step) -> Made:
    line, _ = document.source.position(step.fix.edits[0].span.start)
    return Made(line, step.fix.message, step.rule)


def _rules(made: Iterable[Made]) -> list[str]:
    return [repair.rule for repair in made]


def _choose(findings: Iterable[Finding], unsafe: bool, faulty: Sequence[_Step]) -> list[_Step]:
    """Repairs that neither overlap nor touch each other, the first in the text first."""
    candidates = [
        _Step(finding.rule, fix)
        for finding in findings
        if (fix := next((fix for fix in finding.fixes if fix.safe or unsafe), None))
    ]
    chosen: list[_Step] = []
    taken: set[tuple[int, int]] = set()
    for step in sorted(candidates, key=lambda step: (step.fix.edits[0].span.start, step.rule)):
        spans = {(edit.span.start, edit.span.end) for edit in step.fix.edits}
        free = all(end < start or last < first for start, last in taken for first, end in spans)
        if free and step not in faulty:
            chosen.append(step)
            taken |= spans
    return chosen


def _apply(now: Document, steps: list[_Step], read: Reader) -> tuple[Document, list[_Step]]:
    """The document after the steps, together or, where that can't be proved, one by one; the faulty ones."""
    after = _proved(now, steps, read)
    if after is not None:
        return after, []
    good: list[_Step] = []
    for step in steps:
        attempt = _proved(now, [*good, step], read)
        if attempt is not None:
            good.append(step)
            after = attempt
    return after or now, [step for step in steps if step not in good]


def _proved(now: Document, steps: Sequence[_Step], read: Reader) -> Document | None:
    """The document after some steps where it holds what it must hold; else None."""
    edits = [edit for step in steps for edit in step.fix.edits]
    try:
        after = read(applied(now.source.text, edits))
    except UnreadableError:
        return None
    return after if proved(now.score, after.score, [step.fix for step in steps]) else None


def _badness(file: FileFindings) -> tuple[int, int]:
    counts = count([file])
    return counts[Severity.ERROR], counts[Severity.WARNING]


def _unchanged(document: Document, before: FileFindings, rules: Iterable[str], why: str) -> Repaired:
    """The file as it was; the findings of the rules say why they are not repaired."""
    unmade = set(rules)
    left = (
        _unmade(finding, why) if finding.rule in unmade and finding.fixes else finding
        for finding in before.findings
    )
    return Repaired(document, before._replace(findings=tuple(left)))


def _with_faults(found: FileFindings, faulty: Sequence[_Step]) -> FileFindings:
    """The findings, with the reason where a repair that was called safe could not be proved to be so."""
    fixes = [step.fix for step in faulty if step.fix.safe]
    left = (
        _unmade(finding, "change more than it may") if any(fix in fixes for fix in finding.fixes) else finding
        for finding in found.findings
    )
    return found._replace(findings=tuple(left))


def _unmade(finding: Finding, why: str) -> Finding:
    return finding._replace(message=f"{finding.message} (its repair was not made: it would {why})", fixes=())
