"""What .gitignore files keep out: patterns from the top of the repository down to each directory."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable
from typing import Any

from tabtools.record import NamedTuple

NAME = ".gitignore"
MOST_STARS = 3
_MANY_STARS = re.compile(r"\*{3,}")


class Ignored(NamedTuple):
    """The patterns that hold in a directory, outermost first, each set with the directory it starts from."""

    specs: tuple[tuple[str, Any], ...] = ()

    @classmethod
    def at(cls, directory: str) -> Ignored:
        """The patterns of the directories above an absolute one, up to the top of its git repository."""
        around = [directory]
        while (parent := os.path.dirname(around[-1])) != around[-1]:
            around.append(parent)
        top = next(
            (at for at, folder in enumerate(around) if os.path.exists(os.path.join(folder, ".git"))), None
        )
        if top is None:
            return cls()
        ignored = cls(_specs(os.path.join(around[top], ".git", "info", "exclude"), around[top]))
        for folder in reversed(around[1 : top + 1]):
            ignored = ignored.below(folder)
        return ignored

    def below(self, directory: str) -> Ignored:
        """With the patterns of a directory's own file."""
        more = _specs(os.path.join(directory, NAME), directory)
        return Ignored((*self.specs, *more)) if more else self

    def holds(self, absolute: str, is_directory: bool) -> bool:
        """Whether a path is ignored; the innermost pattern that says anything decides."""
        for base, spec in reversed(self.specs):
            relative = absolute[len(base) :].replace(os.sep, "/") + "/" * is_directory
            said = spec.check_file(relative).include
            if said is not None:
                return bool(said)
        return False


def _specs(file: str, base: str) -> tuple[tuple[str, Any], ...]:
    try:
        with open(file, encoding="utf-8", errors="replace") as opened:
            lines = opened.read().splitlines()
    except OSError:
        return ()
    return ((os.path.join(base, ""), spec_of(lines)),)


def spec_of(patterns: Iterable[str]) -> Any:
    """What matches any of some patterns like those of .gitignore files. A pattern that is none matches
    nothing, as with git, and so does one of more than MOST_STARS stars, which could take for ever."""
    from pathspec import GitIgnoreSpec

    lines = [_MANY_STARS.sub("**", line) for line in patterns]
    lines = [line for line in lines if line.replace("**", "").count("*") <= MOST_STARS]
    try:
        return GitIgnoreSpec.from_lines(lines)
    except (ValueError, re.error):
        return GitIgnoreSpec.from_lines(line for line in lines if _is_pattern(line))


def _is_pattern(line: str) -> bool:
    from pathspec import GitIgnoreSpec

    try:
        GitIgnoreSpec.from_lines([line])
    except (ValueError, re.error):
        return False
    return True
