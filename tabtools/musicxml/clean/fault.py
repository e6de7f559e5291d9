"""What a check of the elements finds."""

from __future__ import annotations

from dataclasses import dataclass

from tabtools.source import Edit, Span


@dataclass(frozen=True, slots=True)
class Repair:
    """Edits that mend one fault together. A ``safe`` one leaves strings, frets, onsets and durations alone;
    a ``certain`` one follows from the rest of the file."""

    edits: tuple[Edit, ...]
    words: str
    safe: bool = True
    certain: bool = True


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault: the rule that reports it, where, what is wrong, and how it can be mended."""

    rule: str
    span: Span
    message: str
    bar: int | None = None
    repair: Repair | None = None
