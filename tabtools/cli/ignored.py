"""What .gitignore files keep out: patterns from the top of the repository down to each directory."""

from __future__ import annotations

import os
from typing import Any

from tabtools.record import NamedTuple

NAME = ".gitignore"


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
    from pathspec import GitIgnoreSpec

    return ((os.path.join(base, ""), GitIgnoreSpec.from_lines(lines)),)
