"""The rules, one file each. A file ``bar_overfull.py`` holds ``RULE``, named ``bar-overfull``."""

from __future__ import annotations

from functools import cache
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tabtools.lint.rule import Rule


@cache
def names() -> tuple[str, ...]:
    """The names of all rules, sorted; no rule is imported for it."""
    return tuple(sorted(file.stem.replace("_", "-") for file in Path(__path__[0]).glob("[a-z]*.py")))


def load(name: str) -> Rule:
    """The rule of this name. Raises KeyError for a name that is no rule's."""
    if name not in names():
        raise KeyError(name)
    rule: Rule = import_module(f"{__name__}.{name.replace('-', '_')}").RULE
    return rule


def load_all() -> list[Rule]:
    """All rules, by name."""
    return [load(name) for name in names()]
