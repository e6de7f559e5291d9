"""Findings about the elements of MusicXML files: what `tabtools.musicxml.clean` finds, as rules report it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from tabtools.document import Document
from tabtools.doubts import Doubt
from tabtools.lint.finding import Finding, Fix, Severity
from tabtools.lint.places import bar_at
from tabtools.lint.view import View

if TYPE_CHECKING:
    from tabtools.musicxml.clean.fault import Fault


def faults(view: View, name: str) -> list[Fault]:
    """The faults that the rule of this name reports; all are worked out once for a document."""
    if view.document.tree is None:
        return []
    return [fault for fault in view.of_document(_all) if fault.rule == name]


def _all(document: Document) -> tuple[Fault, ...]:
    from tabtools.musicxml.clean.faults import find_faults

    return find_faults(document)


class Reporter:
    """The check of a rule that reports the faults of its name."""

    def __init__(self, name: str, severity: Severity) -> None:
        self.name = name
        self.severity = severity

    def __call__(self, view: View) -> Iterable[Finding]:
        """A finding for each of them."""
        for fault in faults(view, self.name):
            bar = fault.bar or bar_at(view, fault.span.start)
            yield Finding(self.name, self.severity, fault.message, fault.span, (), bar, fixes(fault))


def fixes(fault: Fault) -> tuple[Fix, ...]:
    """The repair of a fault as a rule offers it."""
    repair = fault.repair
    if repair is None or not repair.edits:
        return ()
    return (Fix(repair.edits, repair.words, repair.safe, repair.changes),)


def same_place(view: View, doubt: Doubt) -> tuple[Fix, ...]:
    """The repairs of the fault that stands where a doubt of the same name does, or within."""
    found = [
        fault for fault in faults(view, doubt.kind) if doubt.span.start <= fault.span.start < doubt.span.end
    ]
    return fixes(found[0]) if found else ()
