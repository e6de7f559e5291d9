"""What a rule is: its name and its texts as data, and one function from a document to findings."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from tabtools.doubts import Doubt
from tabtools.lint.finding import Fact, Finding, Fix, Placed, Severity
from tabtools.lint.option import Option
from tabtools.lint.view import View
from tabtools.record import NamedTuple
from tabtools.source import Span

NEXT_FILE = "\n==== and in another file ====\n\n"


def _nothing(view: View) -> Iterable[Finding]:
    return ()


def _no_repair(view: View, doubt: Doubt) -> tuple[Fix, ...]:
    return ()


class Rule(NamedTuple):
    """A rule. ``group`` is what it looks at: layout, rhythm, playability, position,
    harmony, MusicXML, collection, housekeeping.

    ``what`` is one line; ``why`` says who is harmed and what to do. ``bad`` and ``good`` are whole example
    files: the first must give this finding and the second must not; ``bad_encoding`` is the encoding that
    the first is saved in. ``fix`` is ``"safe"``, ``"unsafe"`` or None.

    ``check`` looks at the document. ``words`` is for a rule that reports the readers' doubts of its name
    (`tabtools.doubts`) and does nothing else: it words each of them, and ``repairs`` gives the fixes of one.
    A rule with neither is reported by the engine or the command line. ``options`` are what a user can set
    for it; ``view.options`` holds their values.

    A rule about a whole collection of files has ``collect`` and ``compare`` in place of these: ``collect``
    says what of one file is to be compared, and ``compare`` gets all facts that have one key, in the order of
    files and places, and names those that are findings, each with its message. Its examples are two files
    each, with NEXT_FILE between them.
    """

    name: str
    group: str
    severity: Severity
    what: str
    why: str
    bad: str = ""
    good: str = ""
    bad_encoding: str = "utf-8"
    fix: str | None = None
    check: Callable[[View], Iterable[Finding]] = _nothing
    words: Callable[[Any], str] | None = None
    repairs: Callable[[View, Any], tuple[Fix, ...]] = _no_repair
    options: tuple[Option, ...] = ()
    collect: Callable[[View], Iterable[Fact]] | None = None
    compare: Callable[[Sequence[Placed]], Iterable[tuple[Placed, str]]] | None = None

    def finding(
        self,
        message: str,
        span: Span,
        *,
        severity: Severity | None = None,
        related: tuple[Span, ...] = (),
        bar: int | None = None,
        fixes: tuple[Fix, ...] = (),
    ) -> Finding:
        """A finding of this rule, with the rule's severity unless it is given another."""
        return Finding(self.name, severity or self.severity, message, span, related, bar, fixes)
