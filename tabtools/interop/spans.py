"""A score whose places in some intermediate text mean nothing to anybody."""

from __future__ import annotations

from typing import Any

from tabtools.score import Score
from tabtools.source import Span


def without_spans(score: Score) -> Score:
    """The score with no span anywhere in it."""
    bare: Score = _bare(score)
    return bare


def _bare(thing: Any) -> Any:
    if isinstance(thing, Span):
        return None
    if not isinstance(thing, tuple):
        return thing
    kind: Any = type(thing)
    if kind is tuple:
        return tuple(_bare(item) for item in thing if not isinstance(item, Span))
    return kind._make(map(_bare, thing))
