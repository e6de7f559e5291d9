"""What a check of the elements finds."""

from __future__ import annotations

from tabtools.record import NamedTuple
from tabtools.source import Edit, Span


class Repair(NamedTuple):
    """Edits that mend one fault together.

    It follows from the rest of the file; where that leaves several ways there is none. A ``safe`` one changes
    nothing of what is read as played; one that is not may change the notes that its edits and the spans of
    ``changes`` touch.
    """

    edits: tuple[Edit, ...]
    words: str
    safe: bool = True
    changes: tuple[Span, ...] = ()


class Fault(NamedTuple):
    """One fault: the rule that reports it, where, what is wrong, and how it can be mended.

    Where it is the cause of others, ``explains`` is the stretch of the text in which those are not told.
    """

    rule: str
    span: Span
    message: str
    bar: int | None = None
    repair: Repair | None = None
    explains: Span | None = None
