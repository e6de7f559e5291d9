"""What a check reports: findings, and the edits that would repair them."""

from __future__ import annotations

from collections.abc import Iterable
from enum import IntEnum

from tabtools.record import NamedTuple
from tabtools.source import Edit as Edit
from tabtools.source import Source, Span


class Severity(IntEnum):
    """How bad a finding is; a higher value is worse."""

    INFO = 1
    WARNING = 2
    ERROR = 3

    @property
    def word(self) -> str:
        """As users read and type it: ``info``, ``warning``, ``error``."""
        return self.name.lower()


class Fix(NamedTuple):
    """Edits that apply together or not at all. A ``safe`` fix can't change what is played.

    One that is not safe may change the strings and frets of the notes that its edits or the spans of
    ``changes`` touch, and where the notes of those bars lie in time; nothing else.
    """

    edits: tuple[Edit, ...]
    message: str
    safe: bool
    changes: tuple[Span, ...] = ()


class Finding(NamedTuple):
    """One fault at one place of one file.

    ``message`` says what is wrong, with the numbers, and what to do. ``bar`` is the number of the bar in
    its part, where the finding lies in one.
    """

    rule: str
    severity: Severity
    message: str
    span: Span
    related: tuple[Span, ...] = ()
    bar: int | None = None
    fixes: tuple[Fix, ...] = ()


class Fact(NamedTuple):
    """Something of one file that a rule compares with the same of other files.

    Facts with one ``key`` are compared; ``value`` is what should be alike, ``says`` puts it into words.
    ``line`` is where it stands, counted from 1.
    """

    key: str
    value: str
    says: str
    span: Span
    line: int
    bar: int | None = None


class Placed(NamedTuple):
    """A fact with the name of its file."""

    path: str
    fact: Fact


class FileFindings(NamedTuple):
    """The findings of one file, with the source that their spans point into.

    ``facts`` are what the rules about collections compare, by rule.
    """

    source: Source
    findings: tuple[Finding, ...] = ()
    facts: tuple[tuple[str, tuple[Fact, ...]], ...] = ()


def count(files: Iterable[FileFindings]) -> dict[Severity, int]:
    """How many findings of each severity, the worst severity first."""
    counts = dict.fromkeys(sorted(Severity, reverse=True), 0)
    for file in files:
        for finding in file.findings:
            counts[finding.severity] += 1
    return counts
