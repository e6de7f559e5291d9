"""Inputs to documents, and to findings."""

from __future__ import annotations

from collections.abc import Sequence

from tabtools.cli.files import Input
from tabtools.document import Document
from tabtools.lint.engine import check
from tabtools.lint.finding import FileFindings
from tabtools.lint.rule import Rule
from tabtools.lint.rules import internal
from tabtools.lint.rules.unreadable import unreadable
from tabtools.reading import read
from tabtools.source import Source, Span, UnreadableError


def load_or_report(entry: Input) -> Document | FileFindings:
    """The document of an input, or the finding that says why there is none. Raises OSError."""
    try:
        return read(entry.name, entry.read())
    except OSError:
        raise
    except Exception as error:
        return failure(entry.name, error)


def failure(name: str, error: Exception, part: str = "reading the file") -> FileFindings:
    """The finding for a file that can't be read, or for our own fault in ``part``."""
    if not isinstance(error, UnreadableError):
        return FileFindings(Source(name, ""), (internal.crash(part, error),))
    # The text is not at hand, or is no text at all: a blank one is enough for line and column to exist.
    blank = "\n" * (error.line - 1) + " " * error.column
    place = Span(len(blank) - 1, len(blank))
    return FileFindings(Source(name, blank), (unreadable(error.reason, place),))


def check_input(entry: Input, rules: Sequence[Rule]) -> FileFindings:
    """All findings of one input. Raises OSError."""
    document = load_or_report(entry)
    if isinstance(document, FileFindings):
        return document
    return FileFindings(document.source, tuple(check(document, rules)))
