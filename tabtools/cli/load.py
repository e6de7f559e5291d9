"""Inputs to documents, and to findings and repairs."""

from __future__ import annotations

from tabtools.cli.files import Input
from tabtools.config import Resolved
from tabtools.document import Defaults, Document
from tabtools.lint.engine import examine
from tabtools.lint.finding import FileFindings
from tabtools.lint.rules.housekeeping import internal
from tabtools.lint.rules.housekeeping.unreadable import unreadable
from tabtools.reading import read
from tabtools.record import NamedTuple
from tabtools.source import Source, Span, UnreadableError


class Checked(NamedTuple):
    """What was found in an input. Where it was repaired, ``text`` is the new one, ``before`` the old one, and
    ``repaired`` has the rules whose findings are gone, once for each repair, and ``data`` are the bytes that
    were read."""

    file: FileFindings
    before: Source | None = None
    text: str | None = None
    repaired: tuple[str, ...] = ()
    data: bytes | None = None


def load_or_report(entry: Input) -> Document | FileFindings:
    """The document of an input, or the finding that says why there is none. Raises OSError."""
    try:
        return read(entry.name, entry.read(), Defaults(max_bytes=entry.limit))
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


def check_data(name: str, data: bytes, resolved: Resolved, fix: str | None = None) -> Checked:
    """What a plan finds in the bytes of a file; with ``fix``, ``safe`` or ``unsafe``, after its repairs."""
    part = "reading the file"
    try:
        document = read(name, data, resolved.defaults)
        part = "checking the file" if fix is None else "repairing the file"
        found = examine(document, resolved.plan)
        if fix is None or not any(finding.fixes for finding in found.findings):
            return Checked(found)
        return _repaired(document, resolved, fix)
    except Exception as error:
        return Checked(failure(name, error, part))


def _repaired(document: Document, resolved: Resolved, fix: str) -> Checked:
    from tabtools.lint.fixes import repair

    source = document.source

    def again(text: str) -> Document:
        return read(source.name, source.encode(text), resolved.defaults)

    done = repair(document, resolved.plan, again, unsafe=fix == "unsafe")
    changed = done.text if done.text != source.text else None
    return Checked(done.left, source, changed, done.rules)
