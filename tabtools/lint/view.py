"""What a rule looks at: one document, the user's settings, and what other rules have worked out before."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar, cast

from tabtools.document import Document
from tabtools.score import Score

Result = TypeVar("Result")

# How much of what a practised player can do a lesson may ask for. The numbers are our choice.
LEVELS = {"beginner": 0.8, "intermediate": 0.9, "advanced": 1.0}


@dataclass(frozen=True, slots=True)
class Settings:
    """What the user says once for all rules. ``hand`` is ``small``, ``medium`` or ``large``; ``level``, a
    name of LEVELS, is who the lessons are for."""

    hand: str = "medium"
    level: str = "advanced"

    @property
    def share(self) -> float:
        """What share of the limits of stretches and shifts the level may use, from 0 to 1."""
        return LEVELS[self.level]


DEFAULTS = Settings()


@dataclass(frozen=True, slots=True)
class View:
    """A document as a rule sees it. ``options`` are the values of the rule's own options by name."""

    document: Document
    settings: Settings = DEFAULTS
    options: Mapping[str, Any] = field(default_factory=dict)
    _results: dict[Hashable, object] = field(default_factory=dict, repr=False, compare=False)

    @property
    def score(self) -> Score:
        """The music of the document."""
        return self.document.score

    def stage(self, function: Callable[..., Result], *arguments: Hashable) -> Result:
        """``function(score, *arguments)``, worked out once for all rules that ask for it.

        The function must be pure, and its result must be safe to read twice: a tuple, not an iterator.
        """
        key = (function, arguments)
        if key not in self._results:
            self._results[key] = function(self.score, *arguments)
        return cast(Result, self._results[key])
