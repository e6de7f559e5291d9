"""What a rule looks at: one document, the user's settings, and what other rules have worked out before."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from types import MappingProxyType
from typing import Any, TypeVar, cast

from tabtools.document import Document
from tabtools.record import NamedTuple
from tabtools.score import Score

Result = TypeVar("Result")

# How much of what a practised player can do a lesson may ask for. The numbers are our choice.
LEVELS = {"beginner": 0.8, "intermediate": 0.9, "advanced": 1.0}


class Settings(NamedTuple):
    """What the user says once for all rules. ``hand`` is ``small``, ``medium`` or ``large``; ``level``, a
    name of LEVELS, is who the lessons are for."""

    hand: str = "medium"
    level: str = "advanced"

    @property
    def share(self) -> float:
        """What share of the limits of stretches and shifts the level may use, from 0 to 1."""
        return LEVELS[self.level]


DEFAULTS = Settings()


class View:
    """A document as a rule sees it. ``options`` are the values of the rule's own options by name."""

    __slots__ = ("_results", "document", "options", "settings")

    def __init__(
        self,
        document: Document,
        settings: Settings = DEFAULTS,
        options: Mapping[str, Any] = MappingProxyType({}),
    ) -> None:
        self.document = document
        self.settings = settings
        self.options = options
        self._results: dict[Hashable, object] = {}

    def with_options(self, options: Mapping[str, Any]) -> View:
        """The same for another rule; what one works out is there for all."""
        other = View(self.document, self.settings, options)
        other._results = self._results
        return other

    @property
    def score(self) -> Score:
        """The music of the document."""
        return self.document.score

    def stage(self, function: Callable[..., Result], *arguments: Hashable) -> Result:
        """``function(score, *arguments)``, worked out once for all rules that ask for it.

        The function must be pure, and its result must be safe to read twice: a tuple, not an iterator.
        """
        return self._once((function, arguments), lambda: function(self.score, *arguments))

    def of_document(self, function: Callable[[Document], Result]) -> Result:
        """``function(document)``, worked out once for all rules that ask for it."""
        return self._once((function, Document), lambda: function(self.document))

    def _once(self, key: Hashable, work_out: Callable[[], Result]) -> Result:
        if key not in self._results:
            self._results[key] = work_out()
        return cast(Result, self._results[key])
