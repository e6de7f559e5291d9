"""A score whose places in some intermediate text mean nothing to anybody."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar, cast

from tabtools.score import Score
from tabtools.source import Span

Thing = TypeVar("Thing")


def without_spans(score: Score) -> Score:
    """The score with no span anywhere in it."""
    return _bare(score)


def _bare(thing: Thing) -> Thing:
    if isinstance(thing, tuple):
        if hasattr(thing, "_fields"):  # a record: those that are tuples hold no span
            return cast(Thing, thing)
        inner: Any = tuple(_bare(item) for item in thing if not isinstance(item, Span))
        return cast(Thing, inner)
    if not is_dataclass(thing) or isinstance(thing, type):
        return thing
    changes: dict[str, Any] = {}
    for field in fields(thing):
        value = getattr(thing, field.name)
        if isinstance(value, Span):
            changes[field.name] = None
        elif isinstance(value, tuple) or is_dataclass(value):
            changes[field.name] = _bare(value)
    return cast(Thing, replace(cast(Any, thing), **changes)) if changes else thing
