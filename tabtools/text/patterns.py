"""Regular expressions that are compiled when they are first used: most pages need few of them."""

from __future__ import annotations

import re
from typing import cast

_METHODS = ("findall", "finditer", "fullmatch", "match", "search", "split", "sub")


class _Lazy:
    """Looks like a compiled pattern; the first method that is asked for makes it one."""

    __slots__ = ("flags", "pattern", *_METHODS)

    def __init__(self, pattern: str, flags: int) -> None:
        self.pattern = pattern
        self.flags = flags

    def __getattr__(self, name: str) -> object:
        if name not in _METHODS:
            raise AttributeError(name)
        compiled = re.compile(self.pattern, self.flags)
        for method in _METHODS:
            setattr(self, method, getattr(compiled, method))
        return getattr(compiled, name)


class _Needing:
    """A pattern that is tried on those texts alone that hold one of its words."""

    __slots__ = ("_lazy", "pattern", "words")

    def __init__(self, pattern: str, flags: int, words: tuple[str, ...]) -> None:
        self.pattern = pattern
        self.words = words
        self._lazy = lazy(pattern, flags)

    def fullmatch(self, text: str) -> re.Match[str] | None:
        return self._lazy.fullmatch(text) if self._is_needed(text) else None

    def match(self, text: str) -> re.Match[str] | None:
        return self._lazy.match(text) if self._is_needed(text) else None

    def search(self, text: str) -> re.Match[str] | None:
        return self._lazy.search(text) if self._is_needed(text) else None

    def _is_needed(self, text: str) -> bool:
        folded = text.casefold()
        return any(map(folded.__contains__, self.words))


def lazy(pattern: str, flags: int = 0, needs: tuple[str, ...] = ()) -> re.Pattern[str]:
    """The pattern, to be used like a compiled one.

    ``needs`` are words in small letters, one of which stands in whatever the pattern finds: on texts without
    any it is not tried, and often never compiled. Such a pattern has only the methods that find one match,
    and they take a text and no bounds.
    """
    return cast("re.Pattern[str]", _Needing(pattern, flags, needs) if needs else _Lazy(pattern, flags))
