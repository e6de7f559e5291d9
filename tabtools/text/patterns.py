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


def lazy(pattern: str, flags: int = 0) -> re.Pattern[str]:
    """The pattern, to be used like a compiled one."""
    return cast("re.Pattern[str]", _Lazy(pattern, flags))
