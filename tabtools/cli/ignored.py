"""What .gitignore files keep out: patterns from the top of the repository down to each directory."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from tabtools.record import NamedTuple

NAME = ".gitignore"


class Ignored(NamedTuple):
    """The patterns that hold in a directory, outermost first, each set with the directory it starts from."""

    specs: tuple[tuple[str, Any], ...] = ()

    @classmethod
    def at(cls, directory: Path) -> Ignored:
        """The patterns of the directories above an absolute one, up to the top of its git repository."""
        around = [directory, *directory.parents]
        top = next((at for at, folder in enumerate(around) if (folder / ".git").exists()), None)
        if top is None:
            return cls()
        ignored = cls(_specs(around[top] / ".git" / "info" / "exclude", around[top]))
        for folder in reversed(around[1 : top + 1]):
            ignored = ignored.below(folder)
        return ignored

    def below(self, directory: Path) -> Ignored:
        """With the patterns of a directory's own file."""
        more = _specs(directory / NAME, directory)
        return Ignored((*self.specs, *more)) if more else self

    def holds(self, absolute: str, is_directory: bool) -> bool:
        """Whether a path is ignored; the innermost pattern that says anything decides."""
        for base, spec in reversed(self.specs):
            relative = absolute[len(base) :].replace(os.sep, "/") + "/" * is_directory
            said = spec.check_file(relative).include
            if said is not None:
                return bool(said)
        return False


def _specs(file: Path, base: Path) -> tuple[tuple[str, Any], ...]:
    try:
        lines = file.read_text("utf-8", "replace").splitlines()
    except OSError:
        return ()
    from pathspec import GitIgnoreSpec

    return ((str(base).removesuffix(os.sep) + os.sep, GitIgnoreSpec.from_lines(lines)),)
